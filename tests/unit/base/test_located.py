"""Paths and short looks at values, for messages."""

import pytest

from headstock.base.located import DocumentPath, path_text, shown


@pytest.mark.parametrize(
    ("path", "text"),
    [
        (("ends", "1", "devices", 3, "length_m"), "ends.1.devices[3].length_m"),
        ((), ""),
        ((0, "a"), "[0].a"),
        (("north end", "a.b"), "'north end'.'a.b'"),
    ],
)
def test_a_path_is_written_as_people_read_it(path: DocumentPath, text: str) -> None:
    assert path_text(path) == text


def test_a_very_long_path_is_cut() -> None:
    assert len(path_text(("a" * 50,) * 40)) <= 120


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "nothing (null)"),
        (True, "true"),
        (0.5, "0.5"),
        ("a", "'a'"),
        ([1, 2], "a list of 2"),
        ([], "an empty list []"),
        ({"a": 1, "b": 2}, "a group with a, b"),
        ({}, "an empty group {}"),
    ],
)
def test_a_value_is_shown_as_it_would_be_written(value: object, text: str) -> None:
    assert shown(value) == text


def test_a_long_value_is_cut_at_the_limit() -> None:
    assert len(shown("x" * 10_000)) == len(shown({"x" * 10_000: 1})) == 60
