"""The conversion of braked weight percentage and length by train control, to its printed digits and back."""

from __future__ import annotations

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.conversion_model import (
    REACTION_S,
    deceleration_law,
    emergency_build_up_s,
    emergency_distance_m,
    first_step,
    later_step,
    service_build_up_s,
    to_a_target_s,
)
from headstock.physics.motion import MovingTrain, Traces, VehicleOnRail, braking_of, speed_for_distance, stop_from
from headstock.physics.speed_law import KMH, constant_law

ETCS = "SUBSET-026"


@pytest.mark.outside(source=ETCS, clause="A.3.7.1-4", status="read", why="back from figures printed to so many digits")
@pytest.mark.parametrize(
    ("percent", "limit_kmh", "a"),
    [(65.0, 100.58, 0.5635), (100.0, 120.95, 0.8260), (135.0, 137.53, 1.0885), (150.0, 143.87, 1.2010)],
)
def test_the_first_step_is_the_published_one_and_gives_the_percentage_back(percent: float, limit_kmh: float, a: float) -> None:
    speed, deceleration = first_step(percent)
    assert (speed, deceleration) == (pytest.approx(limit_kmh, abs=0.0051), pytest.approx(a, abs=5e-5))
    assert (a - 0.076) / 0.0075 == pytest.approx(percent)
    assert (limit_kmh / 16.85) ** (1 / 0.428) == pytest.approx(percent, abs=0.02)


@pytest.mark.outside(source=ETCS, clause="A.3.7.2", status="read")
def test_in_service_braking_more_than_135_counts_as_135() -> None:
    assert first_step(150.0, is_service=True) == first_step(135.0)


@pytest.mark.outside(source=ETCS, clause="A.3.7.5-6", status="read")
def test_the_further_steps_are_the_published_ones() -> None:
    later = [later_step(100.0, kmh) for kmh in (150.0, 180.0, 200.0)]
    assert later == pytest.approx([0.6171, 0.5915, 0.5817], abs=5e-5)
    assert [later_step(50.0, kmh) for kmh in (100.0, 120.0)] == pytest.approx([0.376, 0.410], abs=5e-4)


@pytest.mark.outside(source=ETCS, clause="A.3.8.1-3", status="read")
@pytest.mark.parametrize(
    ("length_m", "position", "time_s"),
    [(100.0, "passenger P", 5.020), (200.0, "passenger P", 5.020), (400.0, "passenger P", 5.020), (500.0, "passenger P", 6.550),
     (700.0, "passenger P", 10.630), (700.0, "freight G", 14.450), (1200.0, "freight P", 23.120)],
)  # fmt: skip
def test_emergency_build_up_follows_the_length(length_m: float, position: str, time_s: float) -> None:
    assert emergency_build_up_s(length_m, position) == pytest.approx(time_s, abs=1e-9)  # type: ignore[arg-type]
    if position == "passenger P" and length_m > 400.0:
        assert 100.0 * ((time_s - 2.30) / 0.17) ** 0.5 == pytest.approx(length_m)


@pytest.mark.outside(source=ETCS, clause="A.3.9.1-3 and A.3.9.6", status="read")
def test_service_build_up_follows_the_length() -> None:
    assert [service_build_up_s(m) for m in (100.0, 200.0, 400.0)] == pytest.approx([4.6, 6.4, 10.6], abs=5e-4)
    assert service_build_up_s(500.0, "freight P") == pytest.approx(16.85, abs=5e-4)
    assert service_build_up_s(900.0, "freight P") == pytest.approx(27.93, abs=5e-3)
    assert service_build_up_s(900.001, "freight P") == pytest.approx(27.96, abs=0.005)
    assert service_build_up_s(100.0, "freight G") == service_build_up_s(400.0, "freight G")


@pytest.mark.outside(source=ETCS, clause="A.3.8.5, A.3.8.6 and A.3.9.8", status="read")
def test_to_a_target_it_takes_longer_and_reaction_times_are_the_published_ones() -> None:
    assert (to_a_target_s(10.0), to_a_target_s(10.0, "freight G")) == pytest.approx((12.0, 11.6), abs=1e-9)
    assert REACTION_S == {"passenger P": (1.42, 1.06), "freight P": (2.99, 2.07), "freight G": (9.30, 5.70)}


STOPS = [(100.0, 80.0, 410.5), (100.0, 100.0, 606.5), (100.0, 120.0, 839.9), (100.0, 160.0, 1600.7), (65.0, 100.0, 824.1),
         (125.0, 100.0, 520.1)]  # fmt: skip


@pytest.mark.outside(source=ETCS, clause="A.3.7 and A.3.8 together: the stop, worked out by hand", status="computed",
                     why="back from a distance given to 0.1 m")  # fmt: skip
@pytest.mark.parametrize(("percent", "kmh", "distance_m"), STOPS)
def test_the_whole_model_gives_the_stop_to_a_tenth_of_a_metre_and_its_speed_back(
    percent: float, kmh: float, distance_m: float
) -> None:
    vehicle = VehicleOnRail(1e5, 0.0, deceleration_law(percent))
    train = MovingTrain((vehicle,), constant_law("adhesion", 10.0, 100.0), 1.0)
    at_once = braking_of(train, Traces(0.1, np.full((2, 1), 1e5)))
    free_m = emergency_build_up_s(400.0) * kmh * KMH
    assert free_m + stop_from(at_once, kmh * KMH).distance_m == pytest.approx(distance_m, abs=0.051)
    assert emergency_distance_m(percent, 200.0, kmh) == pytest.approx(distance_m, abs=0.051)
    back = speed_for_distance(at_once, distance_m - free_m)
    assert back is not None and back / KMH == pytest.approx(kmh, abs=0.01)


@pytest.mark.outside(source=ETCS, clause="3.13.3.2.1", status="read")
@pytest.mark.parametrize(
    "asked",
    [lambda: first_step(29.9), lambda: first_step(250.1), lambda: later_step(100.0, 200.1),
     lambda: emergency_build_up_s(900.1), lambda: emergency_build_up_s(1500.1, "freight P"), lambda: service_build_up_s(-1.0)],
)  # fmt: skip
def test_beyond_its_published_range_it_is_refused(asked: object) -> None:
    with pytest.raises(OutsideModelError, match="published for"):
        asked()  # type: ignore[operator]
