"""What an unquoted word means."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.documents import document_from_text
from headstock.base.errors import NotationError
from headstock.base.scalars import RefusedScalar, plain_scalar


@pytest.mark.parametrize(
    "word",
    ["on", "off", "yes", "no", "On", "OFF", "Yes", "NO", "y", "n", "tRue", "nUll", "2024-01-02", "12:30", "1:30:00",
     "1_000", "3,5", "1.2.3", "+", "-", ".", "e5", "=", "<<", "217a", "0b11", "+.", "1e", "0x", "1 in 150"],
)  # fmt: skip
def test_words_that_elsewhere_turn_into_something_else_stay_text(word: str) -> None:
    assert plain_scalar(word) == word


@pytest.mark.outside(source="YAML 1.2.2", clause="10.3.2 core schema", status="from memory")
@pytest.mark.parametrize(
    ("word", "value"),
    [("null", None), ("~", None), ("", None), ("true", True), ("TRUE", True), ("false", False), ("False", False),
     ("0", 0), ("-19", -19), ("+3", 3), ("0.", 0.0), (".5", 0.5), ("-0.0", -0.0), ("12e03", 12000.0), ("-2E+05", -2e5)],
)  # fmt: skip
def test_words_of_the_core_schema_have_their_value(word: str, value: object) -> None:
    found = plain_scalar(word)
    assert (type(found), found) == (type(value), value)


@pytest.mark.parametrize(
    ("word", "what"),
    [
        (".nan", "not a finite number"),
        ("-.Inf", "not a finite number"),
        ("1e999", "number too large"),
        ("9223372036854775808", "number too large"),
        ("9" * 9999, "number too large"),
        ("017", "number with a leading zero"),
        ("-00", "number with a leading zero"),
        ("0217", "number with a leading zero"),
        ("00.5", "number with a leading zero"),
        ("089", "number with a leading zero"),
        ("0o17", "number not in ordinary digits"),
        ("0x1F", "number not in ordinary digits"),
    ],
)
def test_numbers_that_could_be_misread_are_refused(word: str, what: str) -> None:
    value = plain_scalar(word)
    assert isinstance(value, RefusedScalar)
    assert value.what == what
    with pytest.raises(NotationError, match=what) as caught:
        document_from_text(f"a: 1\nb: {word}\n", "demo.yaml")
    assert (caught.value.faults[0].line, caught.value.faults[0].path) == (2, "b")


def test_quotes_keep_any_word_text() -> None:
    text = "a: '017'\nb: \"true\"\nc: '.nan'\nd: ''\ne: |\n  1\n"
    assert document_from_text(text, "demo.yaml").value == {"a": "017", "b": "true", "c": ".nan", "d": "", "e": "1\n"}


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_finite_number_written_comes_back(number: float) -> None:
    found = plain_scalar(repr(number))
    assert isinstance(found, float)
    assert found == number
    assert math.copysign(1.0, found) == math.copysign(1.0, number)


@given(st.integers(-(2**63) + 1, 2**63 - 1))
def test_every_whole_number_written_comes_back(number: int) -> None:
    assert plain_scalar(str(number)) == number


@given(st.text())
def test_any_word_gives_a_finite_value_text_or_a_refusal(word: str) -> None:
    value = plain_scalar(word)
    assert value is None or isinstance(value, (str, bool, int, RefusedScalar)) or math.isfinite(value)
