"""What a certificate says first: of a test that no longer holds, that it does not."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from headstock.sheets.certificate_sheet import render_certificate
from headstock.usecases.record_state import TestNow
from headstock.usecases.records_port import Draft, Filed
from tests.unit.sheets.test_certificate_sheet import BODY

VERDICT = "Readings within limits"


def words(state: str) -> str:
    filed = Filed(
        2, "3E8K-PWKB-2MQD", "1b" * 32, "", "2026-01-20T11:00:00.000+00:00", 0, Draft("test", "k", "2026-01-20", (), BODY)
    )
    pdf = render_certificate(TestNow(filed, state, (), ()), "x", "HS1.x.y")  # type: ignore[arg-type]
    return PdfReader(io.BytesIO(pdf)).pages[0].extract_text()


@pytest.mark.parametrize(("state", "first"), [("void", "Void: touched since"), ("corrected", "Corrected by a later entry")])
def test_whoever_reads_the_first_words_does_not_take_it_for_one_that_holds(state: str, first: str) -> None:
    said = words(state)
    assert said.index(first) < said.index(VERDICT)


def test_the_verdict_comes_first_where_it_stands() -> None:
    said = words("stands")
    assert said.index(VERDICT) < said.index("Nothing in its path")
