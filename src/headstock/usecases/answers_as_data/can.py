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
        "answer": answer.answer, "job": answer.papers.job.title, "place": place.name,
        "local_rules": {"name": rules.name, "edition": rules.edition}, "note": " ".join(CAN_CAUTIONS),
        "invented": invented_of(answer), "notes": list(answer.notes),
        "not_answered": {key: list(reasons) for key, reasons in answer.not_answered.items()},
        "stopping": [asdict(result) for result in answer.stopping],
        "braked_weight": None if answer.braked_weight is None else asdict(answer.braked_weight),
        "running_test": [asdict(test) for test in answer.running_test],
        "holding": [
            {**asdict(result), "reasons": [holding_words(reason) for reason in result.reasons]} for result in answer.holding
        ],
        "pull": None if answer.pull is None else asdict(answer.pull),
        "impact": None if answer.impact is None else {**asdict(answer.impact), "joint": str(answer.impact.joint)},
        "haul": None if answer.haul is None else asdict(answer.haul),
        "alone": None if answer.alone is None else asdict(answer.alone),
        "releases": None if answer.releases is None else asdict(answer.releases),
        "reservoirs": None if answer.reservoirs is None else asdict(answer.reservoirs),
        "geometry": list(answer.join.geometry.lines()),
        "meetings": [asdict(meeting) for meeting in answer.meetings],
        "leak_off": [{"portion": portion, **asdict(result)} for portion, result in answer.leak_off],
        "fit": [{**asdict(fit), "over_m": fit.over_m, "fits": fit.fits} for fit in answer.fit],
        "supply": None if answer.supply is None else asdict(answer.supply),
        "sheet": None if sheet is None else str(sheet),
    }  # fmt: skip
    return finite(value)  # type: ignore[no-any-return]


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
