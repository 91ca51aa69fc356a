"""Drawings of the brake test."""

from __future__ import annotations

import re
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from headstock.web.test_drawings import APART, EDGE, LETTER_WIDE, WIDE, _marks

PLACES = st.lists(st.tuples(st.floats(EDGE, EDGE + WIDE), st.sampled_from(["1", "2", "3", "1, 2", "4, 5, 6"])), max_size=5)


def _found(drawn: list[str], pattern: str) -> list[float]:
    return [float(found[1]) for one in drawn if (found := re.search(pattern, one))]


@given(PLACES)
def test_numbers_of_places_close_together_never_read_as_one(places: list[tuple[float, str]]) -> None:
    drawn, ordered = _marks(places), sorted(places)
    at = _found(drawn, r'text class="f" x="(-?[\d.]+)"')
    assert len(at) == len(places)
    spans = [(x - LETTER_WIDE * len(words) / 2, x + LETTER_WIDE * len(words) / 2)
             for x, (_, words) in zip(at, ordered, strict=True)]  # fmt: skip
    assert all(after[0] - before[1] >= APART - 0.2 for before, after in pairwise(spans))
    assert all(span[1] <= 2 * EDGE + WIDE + 0.2 for span in spans), "nothing lies beside the drawing"
    strokes = _found(drawn, r'd="M([\d.]+) ')
    assert all(abs(stroke - x) <= 0.051 for stroke, (x, _) in zip(strokes, ordered, strict=True)), "strokes stay where they are"
