"""Fleet studies: worked out into a folder, asked, reported."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from headstock.wiring.files import in_folder, write_whole

if TYPE_CHECKING:
    from headstock.compute.study_run import StudyDone
    from headstock.usecases.fleet_mistakes import MistakeStudy
    from headstock.usecases.fleet_study import FleetStudy
    from headstock.usecases.study_questions import StudyAnswer
    from headstock.usecases.study_report_parts import StudyReport

MOST_ROWS_ASKED = 100_000
"""Rows of one answer that a report is made from."""


def run_study(study: FleetStudy | MistakeStudy, folder: Path, workers: int | None, cluster: str | None) -> StudyDone:
    """Work a study out into a folder, going on where it was; says on standard error how far it is. Raises InputError."""
    from headstock.compute.signature_blocks import code_key
    from headstock.compute.study_run import run_study as run
    from headstock.exchange.mistake_parts import mistake_part_content
    from headstock.exchange.study_parts import StudyFolder, part_content

    content = part_content if study.kind == "drawn tests" else mistake_part_content
    store = StudyFolder(folder, study, code_key(study.rests_on))
    store.open()
    return run(study, content, store, _say_how_many_parts, workers=workers, cluster=cluster)


def _say_how_many_parts(done: int, of: int, rest_s: float | None) -> None:
    rest = "" if rest_s is None else f", about {rest_s / 60:.0f} min left" if rest_s >= 90 else f", about {rest_s:.0f} s left"
    print(f"working out: {done} of {of} parts{rest}", file=sys.stderr, flush=True)


def ask_study(folder: Path, question: str | None, sql: str | None, limits: str | None, top: int) -> StudyAnswer:
    """A ready question on a study's results, or one in SQL. Raises InputError."""
    from headstock.exchange.study_questions import ask_ready, ask_sql

    return ask_sql(folder, sql, limits, top) if sql is not None else ask_ready(folder, question or "", limits, top)


def write_study_report(folder: Path, out: Path, limits: str | None) -> tuple[StudyReport, tuple[Path, ...]]:
    """Write the report of a study's results as a page, a PDF and its pictures, all or nothing. Raises InputError."""
    from headstock.exchange.study_questions import ask_ready, study_kind
    from headstock.sheets.study_page import study_page
    from headstock.sheets.study_sheet import render_study_report, study_pictures
    from headstock.usecases.study_report import study_report

    report = study_report(lambda question: ask_ready(folder, question, limits, MOST_ROWS_ASKED), study_kind(folder))
    made = {"report.html": study_page(report), "report.pdf": render_study_report(report), **study_pictures(report)}
    contents = {in_folder(out, name, "--out"): content for name, content in made.items()}
    write_whole(contents)
    return report, tuple(contents)
