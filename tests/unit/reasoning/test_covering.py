"""The cheapest set of looks against every set there is, and what no set can show."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headstock.reasoning.covering import smallest_cover


def cheapest_by_trying_all(shows: np.ndarray, costs: list[float]) -> float:
    able = shows.any(axis=0)
    looks = range(len(shows))
    sets = (chosen for size in range(len(shows) + 1) for chosen in combinations(looks, size))
    return min(sum(costs[look] for look in chosen) for chosen in sets if shows[list(chosen)].any(axis=0)[able].all())


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**31), st.integers(1, 8), st.integers(1, 14))
def test_no_set_of_looks_that_shows_as_much_costs_less(seed: int, looks: int, things: int) -> None:
    drawn = np.random.default_rng(seed)
    shows, costs = drawn.random((looks, things)) < 0.3, drawn.integers(1, 6, looks).astype(float).tolist()
    cover = smallest_cover(shows, costs)
    able = shows.any(axis=0)
    assert shows[list(cover.looks)].any(axis=0)[able].all()
    assert cover.never_shown == tuple(np.flatnonzero(~able))
    assert cover.cost == pytest.approx(cheapest_by_trying_all(shows, costs))


def test_of_sets_as_cheap_the_one_with_fewest_looks_is_taken_then_the_first() -> None:
    shows = np.array([[1, 0], [0, 1], [1, 1], [1, 1]], dtype=bool)
    assert smallest_cover(shows, [1.0, 1.0, 2.0, 2.0]).looks == (2,)


def test_nothing_to_show_or_nothing_to_look_with_takes_no_look() -> None:
    assert smallest_cover(np.zeros((3, 0), dtype=bool), [1.0, 1.0, 1.0]).looks == ()
    cover = smallest_cover(np.zeros((0, 2), dtype=bool), [])
    assert cover.looks == () and cover.never_shown == (0, 1)


@pytest.mark.outside(
    source="Chvatal 1979, A greedy heuristic for the set-covering problem", clause="section 1", status="from memory"
)
def test_the_greedy_trap_is_not_fallen_into() -> None:
    # Greedy takes the look that shows four first and then needs two more; two looks show all six.
    shows = np.array([[1, 1, 1, 0, 0, 0], [0, 0, 0, 1, 1, 1], [0, 1, 1, 1, 1, 0]], dtype=bool)
    assert smallest_cover(shows, [1.0, 1.0, 1.0]).looks == (0, 1)
