"""The answer of ``blind-spots`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.usecases.blind_spots_of_job import JobBlindSpots
from headstock.usecases.cause_words import cause_in_words


def blind_spots_as_json(answer: JobBlindSpots) -> dict[str, Any]:
    """The answer as plain values; limits in bar or as a share."""
    test, spots = answer.test, answer.spots
    return {
        "method": {"name": test.tested.method.name, "edition": test.tested.method.edition},
        "local_rules": {"name": test.tested.rules.name, "edition": test.tested.rules.edition},
        "pressure_unit": test.tested.rules.pressure_unit,
        "drawn": test.drawn.model_dump(include={"name", "edition", "invented", "note"}),
        "members": test.signatures.task.members, "readings": [asdict(place) for place in spots.places],
        "healthy_outside": {"at_reading": spots.healthy.at_reading, "at_all": spots.healthy.at_all},
        "causes": [
            {"cause": cause_in_words(one.cause), "kind": one.cause.kind, "place": one.cause.place, "answer": one.answer,
             "from_severity": one.from_severity, "degrees": [asdict(degree) for degree in one.degrees]}
            for one in spots.causes
        ],
        "looks_to_add": {"looks": [look.name for look in answer.to_add.looks], "minutes": answer.to_add.minutes,
                         "never_shown": [cause_in_words(one.cause) for one in answer.to_add.never_shown],
                         "list": answer.extra.name, "invented": answer.extra.invented},
        "limits_moved": {name: [asdict(moved) for moved in steps] for name, steps in answer.moved},
    }  # fmt: skip
