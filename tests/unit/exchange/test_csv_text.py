"""Cells that a spreadsheet would take for a formula: shown as they stand, and the same when they come in again."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.exchange.csv_text import RECKONED, as_written, csv_bytes, shown


@pytest.mark.parametrize("cell", ["=1+1", "+49", "-x", "@sum(A1)", "\t=1", '=HYPERLINK("x")', "-1_0"])
def test_what_would_be_reckoned_is_shown(cell: str) -> None:
    """Common practice, no source: spreadsheets take these first signs for a formula."""
    assert shown(cell) == ("'" + cell if cell != "+49" else cell)


@pytest.mark.parametrize("cell", ["", "217 and 226", "-3.5", "1e-3", "{}", "'quoted'", 7, -7, None])
def test_the_rest_stays_as_it_is(cell: object) -> None:
    assert shown(cell) == cell


def test_exact_columns_and_numbers_are_left_alone() -> None:
    content = csv_bytes(("who", "signature"), [("=a", "+b"), ("c", "=d")], exact=("signature",))
    assert content == b"who,signature\r\n'=a,+b\r\nc,=d\r\n"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\x00")))
def test_out_and_in_again_is_the_same_and_never_a_formula(cell: str) -> None:
    content = csv_bytes(("one",), [(cell,)]).decode()
    ((got,),) = list(csv.reader(io.StringIO(content, newline="")))[1:] or [("",)]
    assert not got.startswith(RECKONED) or got == cell == str(shown(cell))
    if not (cell.startswith("'") and cell[1:].startswith(RECKONED)):
        assert as_written(got) == cell
