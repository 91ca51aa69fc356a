"""The way to look on: as good as the best of all ways, on toys where all can be tried."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headstock.reasoning.next_look import MOST, Look, plan_looks


def best_of_all_ways(weights: list[float], groups: list[int], looks: list[Look], travel: np.ndarray, start: int) -> float:
    """Every order of looks, each answer followed up by itself."""

    def least(causes: tuple[int, ...], place: int, made: frozenset[int]) -> float:
        if len({groups[cause] for cause in causes}) <= 1:
            return 0.0
        found = [
            sum(weights[cause] for cause in causes) * (travel[place][look.place] + look.minutes)
            + sum(least(tuple(part), look.place, made | {number}) for part in parts_of(causes, look))
            for number, look in enumerate(looks)
            if number not in made and len(parts_of(causes, look)) > 1
        ]
        return min(found, default=0.0)

    return least(tuple(range(len(weights))), start, frozenset()) / sum(weights)


def parts_of(causes: tuple[int, ...], look: Look) -> list[list[int]]:
    parts: dict[int, list[int]] = {}
    for cause in causes:
        parts.setdefault(look.shows[cause], []).append(cause)
    return list(parts.values())


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**31), st.integers(2, 7), st.integers(1, 5), st.booleans())
def test_no_way_of_looking_is_quicker_on_the_whole(seed: int, causes: int, count: int, some_alike: bool) -> None:
    drawn = np.random.default_rng(seed)
    places = np.sort(drawn.random(5)) * 3
    travel = np.abs(places[:, None] - places[None, :])
    looks = [Look(str(n), int(drawn.integers(5)), float(drawn.random()), tuple(drawn.integers(0, 3, causes).tolist()))
             for n in range(count)]  # fmt: skip
    weights = drawn.random(causes).tolist()
    groups = [cause // 2 for cause in range(causes)] if some_alike else list(range(causes))
    plan = plan_looks(weights, groups, looks, travel.tolist(), 0)
    assert plan.expected_min == pytest.approx(best_of_all_ways(weights, groups, looks, travel, 0))


def one_each(places: int, likely: list[float], minutes: float = 0.5) -> tuple[list[float], list[Look], list[list[float]]]:
    """One cause at each place along a train, each seen by a look there, and one that no look shows."""
    causes = places + 1
    looks = [Look(f"look {n}", n, minutes, tuple(int(cause == n) for cause in range(causes))) for n in range(places)]
    travel = [[float(abs(a - b)) for b in range(places)] for a in range(places)]
    return [*likely, 1e-9], looks, travel


def test_alike_causes_are_looked_for_walking_one_way_without_turning() -> None:
    weights, looks, travel = one_each(6, [1.0] * 6)
    assert plan_looks(weights, list(range(7)), looks, travel, 0).first == (0, 1, 2, 3, 4, 5)


def test_what_is_much_likelier_is_looked_at_first_though_it_is_further() -> None:
    weights, looks, travel = one_each(6, [0.01, 0.01, 0.01, 0.01, 0.01, 1.0])
    assert plan_looks(weights, list(range(7)), looks, travel, 0).first[0] == 5
    weights, looks, travel = one_each(6, [0.01, 0.01, 0.01, 0.01, 0.01, 1.0], minutes=0.0)
    assert plan_looks(weights, list(range(7)), looks, travel, 0).first == (0, 1, 2, 3, 4, 5)  # what is passed is looked at


def test_what_needs_no_telling_apart_is_not_looked_for() -> None:
    weights, looks, travel = one_each(3, [1.0, 1.0, 1.0])
    plan = plan_looks(weights, [0, 0, 0, 0], looks, travel, 1)
    assert plan.first == () and plan.is_settled and plan.expected_min == 0.0


def test_what_no_look_can_tell_apart_is_said() -> None:
    plan = plan_looks([1.0, 1.0], [0, 1], [Look("blind", 0, 1.0, (3, 3))], [[0.0]], 0)
    assert plan.first == () and not plan.is_settled


def test_causes_beyond_what_is_reckoned_with_are_named_the_least_likely_ones() -> None:
    weights, looks, travel = one_each(MOST + 2, [float(n + 1) for n in range(MOST + 2)])
    assert plan_looks(weights, list(range(MOST + 3)), looks, travel, 0).left_out == (0, 1, MOST + 2)
