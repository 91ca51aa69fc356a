"""The three questions of an air case, on series whose answers can be worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.usecases.air_case_answers import answer_of, crossing_s
from headstock.usecases.air_case_file import AskCross, AskDrop, AskValue

T_S = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
FALLS_AND_RISES = np.array([5.0, 5.0, 3.0, 4.0, 6.0])


def crossing(level_bar: float, upward: bool, after_s: float = 0.0, series: np.ndarray = FALLS_AND_RISES) -> float | None:
    return crossing_s(T_S, series, level_bar, upward, after_s)


def test_a_crossing_is_interpolated_between_its_two_samples() -> None:
    assert crossing(4.5, upward=False) == pytest.approx(1.25)
    assert crossing(5.0, upward=True) == pytest.approx(3.5)


def test_a_crossing_counts_from_the_time_asked_for() -> None:
    assert crossing(5.0, upward=True, after_s=3.25) == pytest.approx(0.25)
    assert crossing(4.5, upward=False, after_s=0.5) == pytest.approx(0.75)


def test_what_was_passed_before_the_time_asked_for_is_not_passed_after_it() -> None:
    assert crossing(4.5, upward=False, after_s=1.5) is None


def test_a_level_stood_on_at_the_start_is_not_passed() -> None:
    assert crossing(5.0, upward=False) is None
    assert crossing(5.0, upward=True, series=np.full(5, 5.0)) is None


def test_a_level_reached_exactly_is_passed_at_that_sample() -> None:
    assert crossing(3.0, upward=False) == pytest.approx(2.0)
    assert crossing(4.0, upward=True) == pytest.approx(3.0)


def test_a_level_never_reached_has_no_time() -> None:
    assert crossing(2.9, upward=False) is None
    assert crossing(6.1, upward=True) is None
    assert crossing(5.5, upward=True, after_s=4.0) is None


def test_each_question_is_answered_in_its_unit() -> None:
    ask = AskCross(kind="cross", where="rear", level_bar=4.0, direction="down", after_s=1.0)
    assert (answer_of(ask, T_S, FALLS_AND_RISES).value, answer_of(ask, T_S, FALLS_AND_RISES).unit) == (0.5, "s")
    drop = answer_of(AskDrop(kind="drop", where="rear", t1_s=1.0, t2_s=3.0), T_S, FALLS_AND_RISES)
    assert (drop.value, drop.unit) == (pytest.approx(30.0), "bar/min")
    value = answer_of(AskValue(kind="value", where="rear", t_s=3.5), T_S, FALLS_AND_RISES)
    assert (value.value, value.unit) == (5.0, "bar")


@pytest.mark.parametrize(
    "ask",
    [
        AskValue(kind="value", where="cyl1", t_s=1.0),
        AskDrop(kind="drop", where="cyl1", t1_s=0.0, t2_s=1.0),
        AskCross(kind="cross", where="cyl1", level_bar=1.0, direction="up", after_s=0.0),
    ],
    ids=lambda ask: ask.kind,
)
def test_what_is_no_number_is_never_an_answer(ask: AskValue | AskDrop | AskCross) -> None:
    with pytest.raises(OutsideModelError):
        answer_of(ask, T_S, np.where(T_S > 3.5, np.nan, FALLS_AND_RISES))
