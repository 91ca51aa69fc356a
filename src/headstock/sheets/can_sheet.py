"""Setting what a job's train can do: sections of lines and tables on A4, each with its caption."""

from __future__ import annotations

from typing import Any

from headstock.sheets.setting import as_pdf, plain_name
from headstock.usecases.can_job import JobCan
from headstock.usecases.can_sections import CanTable, can_sections
from headstock.usecases.can_words import CAN_CAUTIONS
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words


def can_sheet_name(answer: JobCan) -> str:
    """File name of the sheet: the job's letters and figures."""
    return f"{plain_name('can', answer.papers.job.title)}.pdf"


def render_can_sheet(answer: JobCan) -> bytes:
    """The sheet as PDF, tagged (PDF/UA-1). Same answer, same bytes."""
    return as_pdf("can_sheet.typ", _as_data(answer))


def _as_data(answer: JobCan) -> dict[str, Any]:
    papers = answer.papers
    types = {unit.unit_type.type: unit.unit_type for unit in answer.train.units}
    made_up = [papers.job.invented, papers.rules.invented, papers.place.invented, *(one.invented for one in types.values())]
    return {
        "title": papers.job.title,
        "subtitle": "What the train can do" + ("" if answer.asked.load.is_usual else f", {answer.asked.load.words()}"),
        "invented": invented_words(made_up),
        "rules_line": f"Local rules: {papers.rules.name}, edition {papers.rules.edition}",
        "unit_line": "Unit data: " + ", ".join(f"{one.type} issue {one.issue}" for one in types.values()),
        "cautions": [STANDING_CAUTION, *papers.rules.cautions.value, *CAN_CAUTIONS],
        "footer": f"{papers.rules.name}, edition {papers.rules.edition}",
        "sections": [
            {"title": section.title, "parts": [_part(part) for part in section.parts]} for section in can_sections(answer)
        ],
    }


def _part(part: str | CanTable) -> dict[str, Any]:
    if isinstance(part, str):
        return {"line": part}
    return {"caption": part.caption, "headings": part.headings, "rows": part.rows}
