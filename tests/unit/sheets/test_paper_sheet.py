"""A printed paper: questions without the answers, an answer sheet, the key apart."""

import io

from pypdf import PdfReader

from headstock.sheets.paper_sheet import render_key, render_paper
from tests.unit.exchange.test_qti import PAPER


def _text(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages).split())


def test_the_paper_shows_questions_and_gives_no_answer_away() -> None:
    text = _text(render_paper(PAPER))
    assert "3.40 bar" in text and "Answers" in text and "Because" not in text and "sign-off" in text


def test_the_key_gives_answers_with_reasons() -> None:
    text = _text(render_key(PAPER))
    assert "Because: reckoned" in text and "3.40 bar" not in text


def test_the_same_paper_gives_the_same_bytes() -> None:
    assert render_paper(PAPER) == render_paper(PAPER)
