"""Names beside a drawing: in order, none over another, inside it, near their parts where there is room."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.sheets.labels_apart import laid_apart

LABELS = st.lists(st.tuples(st.floats(0.0, 2000.0), st.floats(50.0, 400.0)), max_size=12)


@given(LABELS)
def test_no_label_lies_over_another_and_none_below_the_foot(labels: list[tuple[float, float]]) -> None:
    labels = sorted(labels, reverse=True)
    heights = [height for _, height in labels]
    tops = laid_apart([wanted for wanted, _ in labels], heights, 2000.0)
    spans = [(top - height, top) for top, height in zip(tops, heights, strict=True)]
    assert all(upper[0] >= lower[1] - 1e-6 for upper, lower in itertools.pairwise(spans))
    assert all(low >= -1e-6 for low, _ in spans)
    assert all(high <= max(2000.0, sum(heights)) + 1e-6 for _, high in spans)


def test_with_room_each_stands_beside_its_part() -> None:
    assert laid_apart([900.0, 500.0, 100.0], [100.0] * 3, 1000.0) == pytest.approx([950.0, 550.0, 150.0])
