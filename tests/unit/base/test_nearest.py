"""The nearest valid word."""

import pytest

from headstock.base.nearest import nearest_of


@pytest.mark.parametrize(
    ("word", "nearest"),
    [("lenght_m", "length_m"), ("Length M", "length_m"), ("length-m", "length_m"), ("END COCK", "end-cock"), ("zzz", None)],
)
def test_a_slip_of_the_pen_finds_its_word(word: str, nearest: str | None) -> None:
    assert nearest_of(word, ["length_m", "end-cock", "mass_kg"]) == nearest


def test_nothing_is_near_in_an_empty_list_or_to_a_very_long_word() -> None:
    assert nearest_of("a", []) is None
    assert nearest_of("x" * 1_000_000, ["length_m"]) is None
