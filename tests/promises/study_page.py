"""Writes what the studies that come along answer into their page, with the pictures:  python -m tests.promises.study_page

Both studies are worked out for it: a minute or two of a processor each.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.exchange.study_questions import ask_ready, study_kind
from headstock.sheets.study_sheet import study_pictures
from headstock.usecases.study_of import study_of
from headstock.usecases.study_report import study_report
from headstock.usecases.study_report_parts import ReportSection, StudyReport
from headstock.wiring import run_study
from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "explanation" / "fleet-study.md"
PICTURES = ROOT / "docs" / "pictures"
STUDIES = ("demo-fleet", "demo-mistakes")
MOST_LINES = 12
"""Lines of each table that the page shows; pairs of units all."""


def mark(name: str, where: str) -> str:
    """The line that begins or ends what is made."""
    return f"<!-- {where} of what {name} answers; made by tests/promises/study_page.py -->"


def report_of(name: str, folder: Path, workers: int = 2) -> StudyReport:
    """The report of a study that comes along, worked out into a folder."""
    run_study(study_of(name, load_fleet(), KeptRuns()), folder, workers, None)
    return study_report(lambda question: ask_ready(folder, question, None, 100_000), study_kind(folder))


def block_of(name: str, report: StudyReport) -> str:
    """What the page says of a study, between its two marks."""
    counts = "; ".join(f"{what}: {said}" for what, said in report.counts)
    parts = [
        mark(name, "beginning"),
        "",
        f"{report.title}, {report.subtitle.partition(', ')[2]}. {report.invented} {counts}.",
        "",
    ]
    for section in report.sections:
        parts += [f"### {section.title}", "", *(f"- {said}" for said in section.says), ""]
        parts += [f"![{section.title}: {picture}](../pictures/{file})\n" for picture, file in _pictures(name, section)]
        parts += [*_table(section), "", section.note, ""]
    return "\n".join([*parts, mark(name, "end")])


def _pictures(name: str, section: ReportSection) -> Iterator[tuple[str, str]]:
    for number, drawing in enumerate(section.drawings, start=1):
        yield drawing.key, f"{name}-{section.name}{f'-{number}' if number > 1 else ''}.png"


def _table(section: ReportSection) -> Iterator[str]:
    table, most = section.table, MOST_LINES if section.name != "unit-pairs" else 999
    yield f"| {' | '.join(table.heads)} |"
    yield f"|{'---|' * len(table.heads)}"
    yield from (f"| {' | '.join(row)} |" for row in table.rows[:most])
    more = len(table.rows) + table.left_out - most
    if more > 0:
        yield f"\nAnd {more} more lines in the report."


def pictures_of(name: str, report: StudyReport) -> dict[Path, bytes]:
    """The pictures that the page shows."""
    return {PICTURES / f"{name}-{file}": made for file, made in study_pictures(report).items() if file.endswith(".png")}


def main() -> None:
    """Work both out and write."""
    page = PAGE.read_text(encoding="utf-8")
    for name in sys.argv[1:] or STUDIES:
        with TemporaryDirectory() as folder:
            report = report_of(name, Path(folder) / "results")
        before, _, rest = page.partition(mark(name, "beginning"))
        page = before + block_of(name, report) + rest.partition(mark(name, "end"))[2]
        for path, made in pictures_of(name, report).items():
            path.write_bytes(made)
    PAGE.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
