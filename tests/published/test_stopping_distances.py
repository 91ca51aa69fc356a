"""Stopping distances of the integrator, held against published and closed-form ones, and turned round."""

from __future__ import annotations

import math

import numpy as np
import pytest

from headstock.physics.braked_weight import (
    distance_of_deceleration_m,
    distance_of_percent,
    mean_deceleration_m_s2,
    percent_of_distance,
)
from headstock.physics.build_up import build_up_s
from headstock.physics.gradient import slope_acceleration_m_s2
from headstock.physics.motion import (
    LEVEL,
    MovingTrain,
    StopSet,
    Traces,
    Track,
    VehicleOnRail,
    braking_of,
    path_of,
    speed_for_distance,
    stop_from,
    stops_of,
)
from headstock.physics.resistance import RunningResistance
from headstock.physics.speed_law import KMH, SpeedLaw, constant_law, stepped_law

WAGONS = "Regulation (EU) No 321/2013 (TSI WAG)"
TSI = "Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text"
CLOSED = "closed form"
MASS_KG, TURNING = 200_000.0, 0.08
PLENTY = constant_law("adhesion", 10.0, 120.0)
"""So much adhesion that it never counts."""


def _train(law: SpeedLaw, turning: float = TURNING, resistance: RunningResistance | None = None) -> MovingTrain:
    vehicle = VehicleOnRail(MASS_KG, turning, law)
    return MovingTrain((vehicle,), PLENTY, 1.0, resistance) if resistance else MovingTrain((vehicle,), PLENTY, 1.0)


def _ramp(deceleration: float, dead_s: float, rise_s: float, sample_s: float = 0.1) -> Traces:
    """A push that gives a deceleration [m/s2] on the level: dead time, then a straight rise [s]."""
    t = np.arange(0.0, dead_s + rise_s + 2 * sample_s, sample_s)
    share = np.clip((t - dead_s) / rise_s, 0.0, 1.0)
    return Traces(sample_s, (MASS_KG * (1 + TURNING) * deceleration * share)[:, None])


# Dead time, straight build-up, constant deceleration

RAMPS = [
    (160.0, 0.9, 0.5, 3.0, 1185.945, 51.383),
    (120.0, 0.8, 0.5, 3.0, 760.811, None),
    (100.0, 0.7, 1.0, 4.0, 634.013, None),
    (40.0, 0.9, 0.5, 3.0, 90.472, None),
]


@pytest.mark.outside(source=CLOSED, clause="v (td + tb/2) + v^2 / 2a - a tb^2 / 24", status="computed",
                     why="given to 1 mm and 1 ms; back to the speed within 0.01 km/h")  # fmt: skip
@pytest.mark.parametrize(("kmh", "a", "dead_s", "rise_s", "distance_m", "time_s"), RAMPS)
def test_dead_time_and_straight_build_up_give_the_exact_distance(
    kmh: float, a: float, dead_s: float, rise_s: float, distance_m: float, time_s: float | None
) -> None:
    braking = braking_of(_train(constant_law("push", 1.0, 120.0)), _ramp(a, dead_s, rise_s))
    stop = stop_from(braking, kmh * KMH)
    assert stop.distance_m == pytest.approx(distance_m, abs=0.0006)
    assert time_s is None or stop.time_s == pytest.approx(time_s, abs=0.0006)
    assert build_up_s(_ramp(a, dead_s, rise_s)) == pytest.approx(dead_s + rise_s / 2)
    # Back: the speed that keeps this distance, and the distance from the whole path.
    back = speed_for_distance(braking, distance_m)
    assert back is not None and back / KMH == pytest.approx(kmh, abs=0.01)
    assert path_of(braking, kmh * KMH)[-1, 1] == pytest.approx(stop.distance_m)


@pytest.mark.outside(source=CLOSED, clause="the same on a gradient, (F + M g sin) / (M k)", status="computed",
                     why="given to 1 cm, the deceleration to five decimals")  # fmt: skip
@pytest.mark.parametrize(
    ("percent", "a", "distance_m"),
    [(-2.0, 0.71843, 1463.36), (-1.0, 0.80920, 1309.11), (0.0, 0.9, 1185.95), (1.0, 0.99080, 1085.34), (2.0, 1.08157, 1001.65)],
)
def test_a_gradient_adds_its_pull_over_the_mass_with_turning_parts(percent: float, a: float, distance_m: float) -> None:
    gradient = percent / 100.0
    speed = 160.0 * KMH
    at_once = Traces(0.1, np.full((2, 1), MASS_KG * (1 + TURNING) * 0.9))
    hill = braking_of(_train(constant_law("push", 1.0, 120.0)), at_once, Track(((0.0, gradient),)))
    assert speed**2 / (2 * stop_from(hill, speed).distance_m) == pytest.approx(a, abs=6e-6)
    assert 0.9 + slope_acceleration_m_s2(gradient, TURNING) == pytest.approx(a, abs=6e-6)
    # The printed distances let the pull of the hill build up with the brake; a level train of that deceleration gives them.
    level = braking_of(_train(constant_law("push", 1.0, 120.0)), _ramp(a, 0.5, 3.0))
    assert stop_from(level, speed).distance_m == pytest.approx(distance_m, abs=0.012)
    real = stop_from(braking_of(_train(constant_law("push", 1.0, 120.0)), _ramp(0.9, 0.5, 3.0), Track(((0.0, gradient),))), speed)
    if gradient < 0:
        assert real.distance_m > distance_m, "on a falling road the train gathers speed while the brake builds up"


@pytest.mark.outside(source=CLOSED, clause="brakes cut out, 8 alike, 0.9 m/s2, from 160 km/h", status="computed",
                     why="the deceleration on the hill is given to five decimals")  # fmt: skip
@pytest.mark.parametrize(
    ("working", "level_m", "falling_m"),
    [(8, 1185.9, 1309.1), (7, 1342.8, 1506.3), (6, 1551.8, 1779.3), (4, 2283.5, 2838.4), (2, 4478.4, 7448.5)],
)
def test_each_brake_cut_out_costs_its_share(working: int, level_m: float, falling_m: float) -> None:
    vehicle = VehicleOnRail(MASS_KG / 8, TURNING, constant_law("push", 1.0, 120.0))
    train = MovingTrain((vehicle,) * 8, PLENTY, 1.0)
    on = np.array([[1.0] * working + [0.0] * (8 - working)])
    ramp = _ramp(0.9, 0.5, 3.0)
    braking = braking_of(train, Traces(ramp.sample_s, np.repeat(ramp.push_n / 8, 8, axis=1)))
    (stop,) = stops_of(braking, StopSet(np.array([160.0 * KMH]), on=on))
    assert stop.distance_m == pytest.approx(level_m, abs=0.06)
    a = 0.9 * working / 8 - 0.09080
    (steady,) = stops_of(braking_of(_train(constant_law("push", 1.0, 120.0)), _ramp(a, 0.5, 3.0)), StopSet(np.array([160 * KMH])))
    assert steady.distance_m == pytest.approx(falling_m, abs=0.3)


# A running test slows a train; how soon tells whether all of it braked

MPH = 0.44704


@pytest.mark.outside(source=CLOSED, clause="(v - u) / a and (v^2 - u^2) / 2a from 70 to 59 mph", status="computed",
                     why="times are given to 0.1 s, distances to 1 m")  # fmt: skip
@pytest.mark.parametrize(("a", "time_s", "distance_m"), [(0.75, 6.6, 189.0), (0.25, 19.7, 567.0)])
def test_a_running_test_with_a_third_of_the_brakes_takes_three_times_as_long(a: float, time_s: float, distance_m: float) -> None:
    at_once = Traces(0.1, np.full((2, 1), MASS_KG * (1 + TURNING) * a))
    stop = stop_from(braking_of(_train(constant_law("push", 1.0, 120.0)), at_once, LEVEL, 59 * MPH), 70 * MPH)
    assert stop.time_s == pytest.approx(time_s, abs=0.051) and stop.distance_m == pytest.approx(distance_m, abs=0.51)
    # Back: the deceleration from the printed time, and from the printed distance.
    assert 11 * MPH / time_s == pytest.approx(a, rel=0.01)
    assert (70**2 - 59**2) * MPH**2 / (2 * distance_m) == pytest.approx(a, rel=0.01)


# Deceleration A + B v + C v^2


@pytest.mark.outside(source=CLOSED, clause="integral of v / (A + B v + C v^2)", status="computed",
                     why="the integrator's step")  # fmt: skip
def test_a_deceleration_that_grows_with_speed_gives_the_closed_form() -> None:
    a, b, c, v0 = 0.85, 0.0015, 0.00012, 40.0
    root = math.sqrt(4 * a * c - b * b)
    exact = math.log((a + b * v0 + c * v0**2) / a) / (2 * c) - (b / c) / root * (
        math.atan((2 * c * v0 + b) / root) - math.atan(b / root)
    )
    resistance = RunningResistance(0.0, b * MASS_KG, c * MASS_KG, 100.0)
    at_once = Traces(0.1, np.full((2, 1), MASS_KG * a))
    braking = braking_of(_train(constant_law("push", 1.0, 120.0), 0.0, resistance), at_once)
    assert exact == pytest.approx(815.4385452, abs=5e-8)
    assert stop_from(braking, v0).distance_m == pytest.approx(815.4385452, abs=2e-5)
    back = speed_for_distance(braking, 815.4385452)
    assert back is not None and back == pytest.approx(v0, abs=1.1e-3)


# High-speed units: steps of deceleration behind the printed distances

STEPS = stepped_law("steps", [(0.0, 1.20), (170 * KMH, 1.05), (230 * KMH, 0.90), (300 * KMH, 0.75)], 350 * KMH)


def _high_speed_m(kmh: float) -> float:
    at_once = Traces(0.1, np.full((2, 1), MASS_KG))
    return 3.0 * kmh * KMH + stop_from(braking_of(_train(STEPS, 0.0), at_once), kmh * KMH).distance_m


@pytest.mark.outside(source=TSI, clause="4.2.4.5.2(9)", status="read", why="distances are printed to 10 m")
@pytest.mark.parametrize(("kmh", "printed_m"), [(350.0, 5360.0), (300.0, 3650.0), (250.0, 2430.0), (200.0, 1500.0)])
def test_the_high_speed_stops_are_the_printed_ones(kmh: float, printed_m: float) -> None:
    assert _high_speed_m(kmh) == pytest.approx(printed_m, rel=0.003)
    # The printed figure, turned round: its mean deceleration gives it back.
    a = mean_deceleration_m_s2(printed_m, kmh, 3.0)
    assert distance_of_deceleration_m(a, kmh, 3.0) == pytest.approx(printed_m)


@pytest.mark.outside(source="HS-RST-TSI-2008", clause="table 6", status="from memory")
@pytest.mark.parametrize(("kmh", "exact_m"), [(350.0, 5364.8), (300.0, 3651.3), (250.0, 2430.8), (200.0, 1503.7)])
def test_steps_that_jump_are_integrated_to_a_tenth_of_a_metre(kmh: float, exact_m: float) -> None:
    assert _high_speed_m(kmh) == pytest.approx(exact_m, abs=0.06)


# Six pairs of distance, braked weight percentage and deceleration

PAIRS = [
    (100.0, 700.0, 65.0, 0.60),
    (100.0, 390.0, 125.0, 1.15),
    (100.0, 810.0, 55.0, 0.51),
    (100.0, 480.0, 100.0, 0.91),
    (120.0, 700.0, 100.0, 0.88),
    (120.0, 580.0, 125.0, 1.08),
]


@pytest.mark.outside(source=WAGONS, clause="appendix C 9, table of stopping distances", status="read",
                     why="percentages are printed in fives, decelerations to 0.01 m/s2")  # fmt: skip
@pytest.mark.parametrize(("kmh", "distance_m", "percent", "a"), PAIRS)
def test_the_six_pairs_agree_both_ways(kmh: float, distance_m: float, percent: float, a: float) -> None:
    assert percent_of_distance(distance_m, kmh) == pytest.approx(percent, abs=0.6)
    assert distance_of_percent(percent, kmh) == pytest.approx(distance_m, rel=0.007)
    assert mean_deceleration_m_s2(distance_m, kmh) == pytest.approx(a, abs=0.005)
    # One digit of the printed deceleration is worth up to one per cent of the distance.
    assert distance_of_deceleration_m(a, kmh) == pytest.approx(distance_m, rel=0.01)


@pytest.mark.outside(source=WAGONS, clause="appendix C 9, the same by integration", status="read",
                     why="the integrator's step; percentages are printed in fives")  # fmt: skip
@pytest.mark.parametrize(("kmh", "distance_m", "percent", "a"), PAIRS)
def test_the_six_pairs_come_out_of_the_integrator(kmh: float, distance_m: float, percent: float, a: float) -> None:
    braking = braking_of(_train(constant_law("push", 1.0, 120.0)), _ramp(mean_deceleration_m_s2(distance_m, kmh), 1.9, 0.2, 0.05))
    stop = stop_from(braking, kmh * KMH)
    assert stop.distance_m == pytest.approx(distance_m, abs=0.01)
    assert percent_of_distance(stop.distance_m, kmh) == pytest.approx(percent, abs=0.6)
    back = speed_for_distance(braking, distance_m)
    assert back is not None and back / KMH == pytest.approx(kmh, abs=0.01)


TABLE = [
    (50, 880.7, 1212.1),
    (65, 704.5, 995.6),
    (80, 587.1, 844.8),
    (100, 480.4, 702.8),
    (120, 406.5, 601.7),
    (135, 364.4, 543.1),
]


@pytest.mark.outside(
    source="UIC 544-1", clause="lambda = C / s - D", status="from memory", why="back from a distance given to 0.1 m"
)
@pytest.mark.parametrize(("percent", "at_100_m", "at_120_m"), TABLE)
def test_the_table_of_percentages_is_given_and_given_back(percent: float, at_100_m: float, at_120_m: float) -> None:
    for kmh, distance_m in ((100.0, at_100_m), (120.0, at_120_m)):
        assert distance_of_percent(percent, kmh) == pytest.approx(distance_m, abs=0.051)
        assert percent_of_distance(distance_m, kmh) == pytest.approx(percent, abs=0.02)


# What a falling road does while brakes build up


@pytest.mark.outside(source=CLOSED, clause="free run down a hill, s = v t + a t^2 / 2", status="computed",
                     why="the integrator's step")  # fmt: skip
def test_a_train_gathers_speed_until_its_brakes_come_and_the_profile_counts_by_distance() -> None:
    v, t, i = 10.0, 4.0, 0.02
    hill = i * 9.80665 / math.hypot(1.0, i) / (1 + TURNING)
    s = v * t + hill * t * t / 2
    law = constant_law("push", 1.0, 120.0)
    late = Traces(4.0, np.array([[0.0], [1e-9]]))
    path = path_of(braking_of(_train(law), late, Track(((0.0, -i),)), 0.0), v)
    assert path[1] == pytest.approx([t, s, v + hill * t])
    # The front is on a level road after 20 m, the rear a metre later: from then on the speed stays.
    short = path_of(braking_of(_train(law), Traces(0.05, np.full((3, 1), 1e-9)), Track(((0.0, -i), (20.0, 0.0)))), v)
    after = short[short[:, 1] > 21.0, 2]
    assert after[0] == pytest.approx(math.sqrt(v**2 + 2 * hill * 20.5), abs=1e-4)
    assert after[50] == pytest.approx(after[0], abs=1e-6)
    assert LEVEL.sections == ((0.0, 0.0),)
