"""``can``: what the train of a job can do, as tables."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.usecases.answers_as_data.can import can_as_json, invented_of
from headstock.usecases.can_job import JobCan, can_job
from headstock.usecases.can_question import CanQuestion
from headstock.usecases.can_sections import CanTable, can_sections
from headstock.usecases.can_words import CAN_CAUTIONS, leak_off_words
from headstock.usecases.standing_caution import STANDING_CAUTION
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
