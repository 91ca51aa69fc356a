"""``study report``: a study's results as pictures and one report to read and to print."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.usecases.study_report_parts import StudyReport
from headstock.wiring import write_study_report


def run_study_report(results: Path, out: Path, limits: str | None, as_json: bool) -> int:
    """Write and print; 0, or 3 where the study is not worked out to its end."""
    report, written = write_study_report(results, out, limits)
    if as_json:
        print_json(study_report_as_json(report) | {"written": [str(path) for path in written]})
    else:
        _print(report, written)
    return YES if report.is_whole else NOT_YET


def study_report_as_json(report: StudyReport) -> dict[str, object]:
    """The report as plain values, its pictures by file name."""
    return {
        "title": report.title, "subtitle": report.subtitle, "invented": report.invented, "cautions": list(report.cautions),
        "counts": dict(report.counts), "versions": dict(report.versions), "not_covered": list(report.not_covered),
        "sections": [
            {"name": one.name, "title": one.title, "says": list(one.says), "note": one.note, "heads": list(one.table.heads),
             "rows": [list(row) for row in one.table.rows], "left_out": one.table.left_out}
            for one in report.sections
        ],
    }  # fmt: skip


def _print(report: StudyReport, written: tuple[Path, ...]) -> None:
    print(f"{report.title}. {report.subtitle}. {report.invented}".strip())
    for caution in report.cautions:
        print(f"Caution: {caution}")
    for section in report.sections:
        print(f"\n{section.title}")
        for said in section.says:
            print(f"  - {said}")
    print()
    for path in written:
        print(path)
