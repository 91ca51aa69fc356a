"""How gauges err: one error a gauge, an even spread of the eye, nothing of the gauge in a change, counts right."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.brake_test.gauge_error import GaugeErrors, gauge_errors
from tests.cases.drawn_trains import DRAWN, air_of, errors_of

METHODS = ("rear-application", "full-count", "leak-by-drop")


def drawn(errors: GaugeErrors, count: int = 40000) -> np.ndarray:
    return errors.drawn(np.random.default_rng(3), count)


@pytest.mark.parametrize("method", METHODS)
def test_errors_are_drawn_as_they_are_weighed(method: str) -> None:
    errors = errors_of(8, method)
    counted = np.array([place.is_count for place in errors.places])
    seen = np.cov(drawn(errors).T)[np.ix_(~counted, ~counted)]
    assert seen == pytest.approx(errors.covariance[np.ix_(~counted, ~counted)], abs=2e-4)


@pytest.mark.outside(source="accuracy class of a pressure gauge", clause="error as a share of the span; a class of 1.6 on 10 bar",
                     status="from memory")  # fmt: skip
def test_a_gauge_of_class_1_6_with_ten_bar_is_off_by_016_bar_and_hardly_more() -> None:
    errors = errors_of(8, "rear-application")
    assert 3.0 * errors.front.bias == pytest.approx(0.16)
    off = drawn(errors)[:, 0]
    eye_bar = errors.marks_bar["rear"] * DRAWN.reading.eye_share_of_mark
    assert np.mean(np.abs(off) > 0.16 + eye_bar) < 0.003


def test_readings_of_one_gauge_are_off_together_and_a_change_is_not() -> None:
    errors = errors_of(8, "rear-application")
    off = drawn(errors)
    names = [place.name for place in errors.places]
    charged, restored, front, rise = (names.index(name) for name in ("Charged, rear", "Restored, rear", "Applied, front",
                                                                      "Rise, front"))  # fmt: skip
    together = np.corrcoef(off.T)
    assert together[charged, restored] > 0.6 and abs(together[charged, front]) < 0.03 and abs(together[front, rise]) < 0.03
    eye_bar = errors.marks_bar["front"] * DRAWN.reading.eye_share_of_mark
    assert np.abs(off[:, rise]).max() <= 2.0 * eye_bar


def test_a_fall_in_a_minute_is_read_better_the_longer_it_is_watched() -> None:
    air = air_of(8, "leak-by-drop")
    plain = gauge_errors(air.tested, DRAWN)
    limits = air.tested.rules.limits
    longer = limits.model_copy(update={"leak_watch_s": limits.leak_watch_s.model_copy(update={"value": 295.0})})
    tested = replace(air.tested, rules=air.tested.rules.model_copy(update={"limits": longer}))
    leak = [place.limit for place in plain.places].index("leak_at_most_bar_per_min")
    lasted_s = air.tested.rules.stage_s(next(stage for stage in air.tested.method.stages if stage.key == "watched"))
    ratio = np.sqrt(plain.covariance[leak, leak] / gauge_errors(tested, DRAWN).covariance[leak, leak])
    assert ratio == pytest.approx((lasted_s + 295.0 - 60.0) / lasted_s)
