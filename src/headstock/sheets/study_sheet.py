"""Setting the report of a study on A4, and each of its pictures by itself."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.sheets.setting import as_pdf, as_pictures
from headstock.sheets.study_svg import study_svg
from headstock.usecases.study_drawings import Drawing
from headstock.usecases.study_report_parts import ReportSection, ReportTable, StudyReport

PIXELS_PER_INCH = 160.0
LEAST_LETTERS, MOST_LETTERS = 6, 34


def render_study_report(report: StudyReport) -> bytes:
    """The report as PDF, tagged (PDF/UA-1). Same results, same bytes."""
    return as_pdf("study_sheet.typ", _as_data(report), _drawings(report))


def study_pictures(report: StudyReport) -> dict[str, bytes]:
    """Every picture by file name, as SVG and as PNG."""
    found: dict[str, bytes] = {}
    for name, title, drawing in report.pictures:
        drawn = study_svg(drawing, title, report.foot)
        data = {"title": title, "file": f"{name}.svg", "text": drawing.text}
        found[f"{name}.svg"] = drawn.encode()
        found[f"{name}.png"] = as_pictures("study_picture.typ", data, {f"{name}.svg": drawn}, PIXELS_PER_INCH)[0]
    return found


def _drawings(report: StudyReport) -> dict[str, str]:
    return {f"{name}.svg": study_svg(drawing, title) for name, title, drawing in report.pictures}


def _as_data(report: StudyReport) -> dict[str, Any]:
    names = iter(report.pictures)
    return {
        "title": report.title, "subtitle": report.subtitle, "invented": report.invented, "cautions": report.cautions,
        "counts": report.counts, "versions": report.versions, "not_covered": report.not_covered, "foot": report.foot,
        "sections": [_section(one, [next(names) for _ in one.drawings]) for one in report.sections],
    }  # fmt: skip


def _section(section: ReportSection, pictures: list[tuple[str, str, Drawing]]) -> dict[str, Any]:
    return {
        "title": section.title, "says": section.says, "note": section.note,
        "table": {**asdict(section.table), "widths": _widths(section.table)},
        "drawings": [{"file": f"{name}.svg", "text": f"{title}. {drawing.text}"} for name, title, drawing in pictures],
    }  # fmt: skip


def _widths(table: ReportTable) -> list[int]:
    """How wide columns are by comparison: as their longest words ask, long texts less, since they go on in a second line."""
    longest = [max(len(cell) for cell in column) for column in zip(table.heads, *table.rows, strict=True)]
    return [min(max(one, LEAST_LETTERS), MOST_LETTERS) for one in longest]
