"""The answer of ``judge`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.brake_test.judge import ASK_AGAIN
from headstock.usecases.judge_readings import JudgedReadings


def judged_as_json(answer: JudgedReadings) -> dict[str, Any]:
    """The answer as plain values; limits and values in the units that their names say."""
    record, judgement = answer.record, answer.judgement
    return {
        "verdict": judgement.verdict, "title": answer.title, "invented": answer.invented,
        "method": {"name": record.method.name, "edition": record.method.edition, "for_use": record.method.for_use},
        "local_rules": {"name": record.rules.name, "edition": record.rules.edition},
        "reasons": list(judgement.reasons), "readings": [asdict(reading) for reading in judgement.readings],
        "refusals": [asdict(refusal) for refusal in judgement.refusals],
        "void_by": [asdict(touch) for touch in judgement.void_by], "remarks": list(judgement.remarks),
        "spikes_left_out": answer.spikes, "ask_again": ASK_AGAIN,
    }  # fmt: skip
