"""The band of a forecast: order statistics, whole marks and seconds, how often fresh trains lie in it, what lies outside."""

from __future__ import annotations

from functools import cache
from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.band_doubt import MEANS, may_mean
from headstock.brake_test.band_task import STILL_BAR, BandTask, _still_s
from headstock.brake_test.causes import Cause
from headstock.brake_test.forecast import predict_readings
from headstock.brake_test.forecast_band import ForecastBand, _opened_change, band_of, opened_to_marks
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.signatures import Floats, Scenario, readings_of
from headstock.devices.gauge import GaugeSpec
from headstock.local_rules.drawn_tests import DrawnTests, Range
from headstock.physics.fast_many import answer_many
from headstock.wiring import air_engine
from tests.cases.made_records import DRAWN, demo_air

GAUGE = GaugeSpec(kind="gauge", reads="brake pipe", range_low_bar=0, range_high_bar=10, graduation_bar=0.2,
                  accuracy_class_percent=1.6, source="test")  # fmt: skip
ERROR_BAR = 0.16
FEW = 48


@cache
def values(members: int = FEW, seed: int = 1) -> Floats:
    return BandTask(demo_air(), DRAWN, members, seed).answer(answer_many)


def band(members: int = FEW) -> ForecastBand:
    return band_of(BandTask(demo_air(), DRAWN, members), values(members))


def test_the_band_is_the_middle_95_per_cent() -> None:
    """Of 0, 1, ... 40 that is 1 to 39, by hand."""
    task = BandTask(demo_air(), DRAWN, 41)
    rows = values().shape[0]
    found = band_of(task, np.tile(np.arange(41.0), (rows, 1)) / 10.0)
    assert (found.readings[0].low, found.readings[0].high) == (pytest.approx(0.1), pytest.approx(3.9))
    assert (found.readings[0].lowest, found.readings[0].highest) == (pytest.approx(0.0), pytest.approx(4.2))
    assert (found.stages[0].from_s, found.stages[0].to_s) == (0, 4)


@pytest.mark.parametrize(
    ("low", "high", "marks"),
    [(4.96, 5.04, (4.8, 5.2)), (3.37, 3.39, (3.2, 3.6)), (0.0, 0.1, (0.0, 0.4)), (9.9, 9.95, (9.6, 10.0))],
)
def test_a_gauge_of_class_1_6_up_to_10_bar_opens_the_band_to_its_marks(
    low: float, high: float, marks: tuple[float, float]
) -> None:
    """By hand: 0.16 bar outward, then to the next mark of 0.2 bar; a pointer stays on its scale."""
    assert opened_to_marks(low, high, GAUGE) == (pytest.approx(marks[0]), pytest.approx(marks[1]))


@given(st.floats(0.0, 9.8), st.floats(0.0, 2.0), st.sampled_from([0.05, 0.1, 0.2, 0.5]))
def test_opened_takes_in_all_a_gauge_of_its_class_can_show_and_no_mark_more(low: float, wide: float, mark: float) -> None:
    gauge = GAUGE.model_copy(update={"graduation_bar": mark})
    high = min(10.0, low + wide)
    first, last = opened_to_marks(low, high, gauge)
    assert first <= max(0.0, low - ERROR_BAR) + 1e-6 and last >= min(10.0, high + ERROR_BAR) - 1e-6
    assert first > low - ERROR_BAR - mark - 1e-6 and last < high + ERROR_BAR + mark + 1e-6
    assert first / mark == pytest.approx(round(first / mark), abs=1e-6)


def test_what_a_gauge_is_off_falls_out_of_a_change() -> None:
    """A quarter of a mark of 0.2 bar at each of two looks: 0.1 bar to either side, in steps of 0.05."""
    assert _opened_change(0.0, 0.0, 1.0, 0.2, 0.25) == (pytest.approx(-0.1), pytest.approx(0.1))
    assert _opened_change(0.0, 0.0, 6.0, 0.2, 0.25) == (pytest.approx(-0.6), pytest.approx(0.6))


def test_the_healthy_train_of_the_forecast_lies_in_its_band_and_keeps_its_own_answer() -> None:
    case = predict_readings(demo_air().tested, (), air_engine()).cases[0]
    for reading in case.readings:
        own = band().of_stage(reading.stage)
        assert own is not None and own.lowest <= reading.shows_bar <= own.highest and own.limit == reading.limit
        assert own.lowest <= own.low <= own.high <= own.highest
    for gauge, line in zip(band().gauges, (case.front_bar, case.rear_bar), strict=True):
        shown = np.interp(band().t_s, case.t_s, line)
        inside = (np.array(gauge.lowest_bar) - 1e-6 <= shown) & (shown <= np.array(gauge.highest_bar) + 1e-6)
        assert inside.mean() > 0.97


@pytest.mark.outside(source="order statistics", clause="expected share of fresh draws between two of n is their gap over n + 1",
                     status="computed")  # fmt: skip
def test_fresh_trains_lie_in_the_band_about_as_often_as_it_says() -> None:
    """Of 48 the 2.5 and 97.5 points lie at ranks 2.2 and 46.8: 91 % expected. Each reading on its own, fresh seed."""
    moments = len(BandTask(demo_air(), DRAWN, FEW).moments_s)
    fresh = values(FEW, 2)[2 * moments : 2 * moments + len(band().readings)]
    inside = [np.mean((row >= one.low) & (row <= one.high)) for row, one in zip(fresh, band().readings, strict=True)]
    assert 0.8 < np.mean(inside) < 0.995


def test_a_cock_nearly_shut_lies_outside_and_within_limits_alike_reads_as_a_doubt() -> None:
    (row,) = readings_of(demo_air(), DRAWN, [Scenario((Cause("cock shut", "217/2.brake_pipe_cock"),), 3)], 1, answer_many)
    outside = [not one.lowest <= value <= one.highest for value, one in zip(row, band().readings, strict=True)]
    assert outside[0] and outside[2]


def test_the_same_task_gives_the_same_bits_and_another_seed_others() -> None:
    again = BandTask(demo_air(), DRAWN, FEW).answer(answer_many)
    assert np.array_equal(again, values(), equal_nan=True) and not np.array_equal(values(FEW, 2), values(), equal_nan=True)


def test_wider_ranges_make_a_wider_band() -> None:
    wider = DRAWN.model_copy(
        update={"healthy": DRAWN.healthy.model_copy(update={"set_pressure_error_bar": Range(low=-0.4, high=0.4)})}
    )
    task = BandTask(demo_air(), wider, FEW)
    found = band_of(task, task.answer(answer_many))
    assert found.readings[0].high - found.readings[0].low > 3 * (band().readings[0].high - band().readings[0].low)


@pytest.mark.outside(source="closed form", clause="A exp(-t/tau) is within d of its end after tau ln(A/d)", status="computed")
def test_a_gauge_stands_still_when_it_has_come_near_to_its_end() -> None:
    t_s = np.arange(0.0, 60.0, 0.25)
    bar = np.array([3.4 + 1.6 * exp(-t / 4.0) for t in t_s])
    still_s = _still_s(t_s, bar, StageSpan("a", "a", "front", 0.0, 59.75))
    assert still_s == pytest.approx(4.0 * log(1.6 / STILL_BAR), abs=0.26)
    assert np.isnan(_still_s(t_s, 5.0 - t_s / 60.0, StageSpan("a", "a", "front", 0.0, 59.75)))


def test_what_it_may_mean_is_said_for_each_limit_that_is_forecast_and_for_either_side() -> None:
    for one in band().readings:
        assert one.limit in MEANS and may_mean(one.limit, True) != may_mean(one.limit, False)
    assert "wrong gauge" in may_mean("speed_fall_at_least_kmh", True)


def test_the_key_hangs_on_the_ranges_and_not_on_how_faults_are_weighed() -> None:
    def key(drawn: DrawnTests, members: int = FEW, air: AirUnderTest | None = None) -> str:
        return BandTask(air or demo_air(), drawn, members).key

    colder = DRAWN.healthy.model_copy(update={"temperature_c": Range(low=-30, high=30)})
    assert key(DRAWN) == key(DRAWN.model_copy(update={"faults": DRAWN.faults[:2]}))
    assert len({key(DRAWN), key(DRAWN, 40), key(DRAWN.model_copy(update={"healthy": colder}))}) == 3
