"""The answer of ``can`` as plain values."""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path
from typing import Any

from headstock.usecases.can_job import JobCan
from headstock.usecases.can_words import CAN_CAUTIONS
from headstock.usecases.holding_words import holding_words
from headstock.usecases.standing_caution import invented_words


def can_as_json(answer: JobCan, sheet: Path | None = None) -> dict[str, Any]:
    """The answer as plain values, SI in the names; what has no end is null."""
    rules, place = answer.papers.rules, answer.papers.place
    value: dict[str, Any] = {
        "answer": answer.answer, "refused": list(answer.refused), "job": answer.papers.job.title, "place": place.name,
        "local_rules": {"name": rules.name, "edition": rules.edition}, "note": " ".join(CAN_CAUTIONS),
        "invented": invented_of(answer), "notes": list(answer.notes),
        "not_answered": {key: list(reasons) for key, reasons in answer.not_answered.items()},
        "stopping": [asdict(result) for result in answer.stopping],
        "load": answer.asked.load.words(),
        "brakes_in_use": None if answer.stops is None else list(answer.stops.in_use),
        "by_load": _by_load(answer),
        "braked_weight": None if answer.braked_weight is None else asdict(answer.braked_weight),
        "running_test": [asdict(test) for test in answer.running_test],
        "holding": [
            {**asdict(result), "reasons": [holding_words(reason) for reason in result.reasons]} for result in answer.holding
        ],
        "pull": None if answer.pull is None else asdict(answer.pull),
        "impact": None if answer.impact is None else {**asdict(answer.impact), "joint": str(answer.impact.joint)},
        "approach_kmh": None if answer.impact is None else list(answer.approach_kmh),
        "rescue": _rescue(answer),
        "haul": None if answer.haul is None else asdict(answer.haul),
        "alone": None if answer.alone is None else asdict(answer.alone),
        "releases": None if answer.releases is None else asdict(answer.releases),
        "reservoirs": None if answer.reservoirs is None else asdict(answer.reservoirs),
        "geometry": list(answer.geometry.lines()),
        "curve_radius_m": answer.radius_m, "meetings": [asdict(meeting) for meeting in answer.meetings],
        "leak_off": [{"portion": portion, **asdict(result)} for portion, result in answer.leak_off],
        "fit": [{**asdict(fit), "over_m": fit.over_m, "fits": fit.fits} for fit in answer.fit],
        "supply": None if answer.supply is None else {**asdict(answer.supply), "too_much": list(answer.too_much)},
        "sheet": None if sheet is None else str(sheet),
    }  # fmt: skip
    return finite(value)  # type: ignore[no-any-return]


def _rescue(answer: JobCan) -> dict[str, Any] | None:
    """Whether main reservoirs are joined and why; every reason where it is refused; null where nothing is rescued."""
    if answer.rescue is None:
        return None
    if isinstance(answer.rescue, tuple):
        return {"main_joined": False, "reasons": list(answer.rescue)}
    return {"main_joined": answer.rescue.main_joined, "reasons": [answer.rescue.main_words]}


def _by_load(answer: JobCan) -> list[dict[str, Any]]:
    if answer.stops is None:
        return []
    return [
        {**asdict(case), "from_kmh": list(answer.stops.load_kmh), "held_gradient": held.held_gradient, "holds_here": held.holds}
        for case, held in answer.stops.by_load
    ]


def finite(value: Any) -> Any:
    """The same, with null where a number has no end, since JSON knows none."""
    if isinstance(value, dict):
        return {key: finite(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [finite(inner) for inner in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def invented_of(answer: JobCan) -> str:
    """What of it is made up, in words."""
    papers = answer.papers
    types = [unit.unit_type.invented for unit in answer.train.units]
    return invented_words([papers.job.invented, papers.rules.invented, papers.place.invented, *types])
