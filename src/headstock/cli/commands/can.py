"""``can``: what the train of a job can do, as tables."""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path
from typing import Any

from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.usecases.can_job import JobCan, can_job
from headstock.usecases.can_question import CanQuestion
from headstock.usecases.can_sections import CanTable, can_sections
from headstock.usecases.can_words import CAN_CAUTIONS, leak_off_words
from headstock.usecases.holding_words import holding_words
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words
from headstock.wiring import air_engine, fleet_from


def run_can(job: Path, asked: CanQuestion, as_json: bool, fleet: Path | None, sheets: Path | None) -> int:
    """What a job's train can do; printed, and as a sheet where a folder is given."""
    answer = can_job(job, fleet_from(fleet), air_engine(), asked)
    sheet = _sheet(answer, sheets) if sheets is not None else None
    if as_json:
        print_json(can_as_json(answer, sheet))
    else:
        _print_can(answer, sheet)
    return ANSWER_STATUS[answer.answer]


def _sheet(answer: JobCan, folder: Path) -> Path:
    from headstock.wiring import print_can_sheet

    return print_can_sheet(answer, folder)


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


def _print_can(answer: JobCan, sheet: Path | None) -> None:
    from rich.console import Console

    console = Console(highlight=False, markup=False, soft_wrap=True)
    rules = answer.papers.rules
    console.print(f"{answer.papers.job.title} · what the train can do", style="bold")
    console.print(f"Local rules: {rules.name}, edition {rules.edition}. {invented_of(answer)}")
    if not answer.asked.load.is_usual:
        console.print(f"Load: {answer.asked.load.words()}.")
    for caution in (STANDING_CAUTION, *CAN_CAUTIONS):
        console.print(f"Caution: {caution}")
    for section in can_sections(answer):
        console.print(section.title, style="bold")
        for part in section.parts:
            console.print(part if isinstance(part, str) else _table(part))
    if answer.leak_off:
        console.print("For investigators: trapped air, which counts nothing on any sheet", style="bold")
    for portion, result in answer.leak_off:
        console.print(leak_off_words(portion, result))
    if sheet is not None:
        console.print(str(sheet))


def _table(shown: CanTable) -> Any:
    from rich.table import Table

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), title=shown.caption, title_justify="left", title_style="italic")
    for number, heading in enumerate(shown.headings):
        table.add_column(heading, justify="right" if number else "left", no_wrap=True)
    for row in shown.rows:
        table.add_row(*row)
    return table
