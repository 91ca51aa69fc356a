"""Setting a question paper: the questions, a sheet for the answers, and apart from both the key with reasons."""

from __future__ import annotations

from typing import Any

from headstock.sheets.setting import as_pdf
from headstock.usecases.question_paper import PAPER_CAUTION, Paper, letter
from headstock.usecases.standing_caution import STANDING_CAUTION, invented_words


def render_paper(paper: Paper) -> bytes:
    """Questions and answer sheet as PDF, tagged (PDF/UA-1). Same paper, same bytes."""
    return as_pdf("paper_sheet.typ", _as_data(paper, False))


def render_key(paper: Paper) -> bytes:
    """The key with its reasons, for the instructor."""
    return as_pdf("paper_sheet.typ", _as_data(paper, True))


def _as_data(paper: Paper, with_key: bool) -> dict[str, Any]:
    return {
        "title": "Key" if with_key else paper.title, "number": paper.number, "jobs": list(paper.jobs), "with_key": with_key,
        "invented": invented_words([paper.invented]), "cautions": [STANDING_CAUTION, PAPER_CAUTION],
        "questions": [
            {"number": number, "text": one.text, "options": [[letter(place), text] for place, text in enumerate(one.options)],
             "right": letter(one.right), "because": one.because}
            for number, one in enumerate(paper.questions, start=1)
        ],
    }  # fmt: skip
