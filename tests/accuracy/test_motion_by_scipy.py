"""The march against an integrator of other hands, on trains with everything at once; and compiled against plain."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from headstock.physics.brake_force import FrictionBrake, karwatzki_law
from headstock.physics.braking_adhesion import design_adhesion_law
from headstock.physics.motion import MovingTrain, StopSet, Traces, Track, VehicleOnRail, braking_of, stop_from, stops_of
from headstock.physics.resistance import RunningResistance
from headstock.physics.speed_law import KMH, constant_law, law_through

solve_ivp = pytest.importorskip("scipy.integrate", reason="SciPy comes with the library fluids").solve_ivp
SAMPLE_S = 0.1
SECTIONS = ((0.0, -0.004), (250.0, -0.015), (500.0, 0.006))
BLOCKS = FrictionBrake(karwatzki_law(), 180e3, 3.8e5, 0.3e5, 8)
PADS = law_through("pads", [(0.0, 0.30), (15.0, 0.38), (40.0, 0.33)])
ELECTRIC = law_through("electric", [(0.0, 0.0), (3.0, 1.0), (15.0, 1.0), (40.0, 0.4)])
RESISTANCE = RunningResistance(4e3, 60.0, 9.0, 60.0)


def _train() -> tuple[MovingTrain, Traces]:
    vehicles = (
        VehicleOnRail(45e3, 0.06, BLOCKS.law.by_speed),
        VehicleOnRail(38e3, 0.04, PADS),
        VehicleOnRail(38e3, 0.04, PADS, braked_share=0.5),
        VehicleOnRail(45e3, 0.12, PADS, electric=ELECTRIC),
    )
    t = np.arange(0.0, 9.0, SAMPLE_S)[:, None]
    pressure = 3.8e5 * np.clip((t - 0.4 - 0.3 * np.arange(4)) / 4.0, 0.0, 1.0)
    push = np.column_stack([BLOCKS.push_n(pressure[:, 0]), *(pressure[:, n] / 3.8e5 * 1.3e5 for n in (1, 2, 3))])
    electric = np.zeros_like(push)
    electric[:, 3] = 48e3 * np.clip((t[:, 0] - 0.5) / 1.0, 0.0, 1.0)
    return MovingTrain(vehicles, design_adhesion_law(16), 82.0, RESISTANCE), Traces(SAMPLE_S, push, electric)


def _slope(front_m: float, length_m: float) -> float:
    """Mean sine under the train, by adding up a fine comb."""
    comb = front_m - (np.arange(400) + 0.5) / 400 * length_m
    sines = [i / math.hypot(1.0, i) for _, i in SECTIONS]
    return float(np.mean(np.select([comb < 250.0, comb < 500.0], sines[:2], sines[2])))


def _by_scipy(train: MovingTrain, traces: Traces, speed: float) -> tuple[float, float]:
    t_s = np.arange(traces.push_n.shape[0]) * SAMPLE_S
    rail = [vehicle.mass_kg * 9.80665 * vehicle.braked_share for vehicle in train.vehicles]

    def rates(t: float, y: np.ndarray) -> list[float]:
        v = max(float(y[1]), 0.0)
        force = 0.0
        for n, vehicle in enumerate(train.vehicles):
            one = float(np.interp(t, t_s, traces.push_n[:, n])) * vehicle.friction.at(v)
            if vehicle.electric is not None and traces.electric_n is not None:
                one = max(one, float(np.interp(t, t_s, traces.electric_n[:, n])) * vehicle.electric.at(v))
            force += min(one, train.adhesion.at(v) * rail[n])
        force += train.resistance.at_n(v) + train.mass_kg * 9.80665 * _slope(float(y[0]), train.length_m)
        return [v, -force / train.heavy_kg]

    def stands(t: float, y: np.ndarray) -> float:
        return float(y[1])

    stands.terminal, stands.direction = True, -1.0  # type: ignore[attr-defined]
    found = solve_ivp(rates, (0.0, 300.0), [0.0, speed], events=stands, rtol=1e-8, atol=1e-8, max_step=0.1)
    return float(found.y_events[0][0][0]), float(found.t_events[0][0])


@pytest.mark.outside(source="independent integration", clause="SciPy solve_ivp, RK45, rtol 1e-8", status="computed")
@pytest.mark.parametrize("kmh", [30.0, 80.0, 120.0])
def test_blocks_pads_electric_brake_adhesion_profile_and_resistance_together(kmh: float) -> None:
    train, traces = _train()
    stop = stop_from(braking_of(train, traces, Track(SECTIONS)), kmh * KMH)
    distance, time = _by_scipy(train, traces, kmh * KMH)
    assert stop.distance_m == pytest.approx(distance, abs=0.02)
    assert stop.time_s == pytest.approx(time, abs=0.005)


def test_steps_half_as_long_change_nothing_that_counts() -> None:
    train, traces = _train()
    t, fine = np.arange(0.0, 9.0, SAMPLE_S), np.arange(0.0, 8.9, SAMPLE_S / 2)

    def between(columns: np.ndarray) -> np.ndarray:
        return np.column_stack([np.interp(fine, t, column) for column in columns.T])

    halved = Traces(SAMPLE_S / 2, between(traces.push_n), between(traces.electric_n))  # type: ignore[arg-type]
    whole = stop_from(braking_of(train, traces, Track(SECTIONS)), 30.0)
    half = stop_from(braking_of(train, halved, Track(SECTIONS)), 30.0)
    assert whole.distance_m == pytest.approx(half.distance_m, abs=0.003)


def test_many_at_once_are_the_same_one_by_one() -> None:
    braking = braking_of(*_train(), Track(SECTIONS))
    speeds = np.array([10.0, 20.0, 33.0])
    together = stops_of(braking, StopSet(speeds))
    assert together == tuple(stop_from(braking, float(speed)) for speed in speeds)


def test_a_train_that_its_brakes_do_not_hold_is_said_to_run_away() -> None:
    vehicle = VehicleOnRail(50e3, 0.0, constant_law("push", 1.0, 40.0))
    train = MovingTrain((vehicle,), constant_law("adhesion", 1.0, 40.0), 20.0)
    weak = Traces(SAMPLE_S, np.full((3, 1), 5e3))
    assert stop_from(braking_of(train, weak, Track(((0.0, -0.02),))), 10.0).ended == "beyond the laws"
    assert not stop_from(braking_of(train, weak, Track(((0.0, -0.02),))), 10.0).is_stopped


def ran() -> list[float]:
    """What the plain lines and the compiled ones must agree on."""
    train, traces = _train()
    stop = stop_from(braking_of(train, traces, Track(SECTIONS)), 25.0)
    from headstock.physics.draft_gear import linear_gear, preloaded_gear
    from headstock.physics.impact import chain_impact

    hit = chain_impact([4e4, 5e4], [6e4], 0.8, [linear_gear(2e7, 0.1)], preloaded_gear(5e4, 1e7, 0.08, 0.6), [], until_s=0.3)
    return [stop.distance_m, stop.time_s, *hit.push_n, *hit.pull_n]


def test_compiled_stops_and_impacts_are_those_of_the_plain_lines() -> None:
    root = Path(__file__).parents[2]
    code = "from tests.accuracy.test_motion_by_scipy import ran; print(*map(repr, ran()))"
    env = {**os.environ, "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": f"{root / 'src'}{os.pathsep}{root}"}
    said = subprocess.run([sys.executable, "-c", code], env=env, cwd=root, capture_output=True, text=True, check=True).stdout
    assert ran() == pytest.approx([float(word) for word in said.split()], rel=1e-9)
