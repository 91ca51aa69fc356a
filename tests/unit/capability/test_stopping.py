"""A train's stop from its own pressures: what doubling it changes and what not; which forces count."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from headstock.capability.brake_traces import BY_WIRES, EMERGENCY, FULL, cylinder_traces, ready_train
from headstock.capability.braked_train import force_traces
from headstock.capability.coupling_impact import lacking_to_meet, predict_impact
from headstock.capability.fit import predict_supply
from headstock.capability.holding import HoldingBrake, PortionOnGradient, predict_holding
from headstock.capability.pull_away import PullQuestion, PullSeen, predict_pull
from headstock.capability.stopping import braked_weight, vehicle_forces
from headstock.equipment.library import load_fleet
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_on_rail import full_bar, lacking_to_stop, moving_train, vehicles_of
from headstock.physics.build_up import build_up_s
from headstock.physics.motion import braking_of, stop_from
from headstock.physics.speed_law import KMH
from tests.unit.usecases.test_can_job import engine

FLEET = load_fleet()
NAMES = ("tarn", "gale", "crag", "fell", "moss", "beck")


def train_of(*types: str) -> Train:
    units = tuple(TrainUnit(str(number), FLEET.find(name), "1") for number, name in enumerate(types, start=1))
    ends = [(UnitEnd(one.name, "2"), UnitEnd(other.name, "1")) for one, other in pairwise(units)]
    return Train(units, tuple(Joint(*pair, made=number + 1 < len(ends)) for number, pair in enumerate(ends)))


def build_up_of(train: Train, call: str = EMERGENCY) -> float:
    ready = ready_train(train, train.outer_ends[0], {})
    return build_up_s(force_traces(train, call, cylinder_traces(ready, [call], engine)[call]))


@pytest.mark.parametrize("name", ["tarn", "gale", "fell", "moss"])
def test_doubling_a_unit_leaves_the_rated_percentage_and_the_gradient_held_and_lengthens_the_build_up(name: str) -> None:
    one, two = train_of(name), train_of(name, name)
    rated = []
    for train in (one, two):
        moving = moving_train(train)
        ready = ready_train(train, train.outer_ends[0], {})
        traces = force_traces(train, EMERGENCY, cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY])
        rated.append(braked_weight(train, braking_of(moving, traces)).rated_percent)
    assert rated[0] == pytest.approx(rated[1], rel=1e-12)
    assert build_up_of(two) > build_up_of(one) + 0.1
    brakes = [HoldingBrake("a", "", 30e3, 40e3), HoldingBrake("b", "", 30e3, 40e3)]
    held = [
        predict_holding(PortionOnGradient("", number * 100e3, 0.01, tuple(brakes[:number]), 1.2, 0.12, 1)).held_gradient
        for number in (1, 2)
    ]
    assert held[0] == pytest.approx(held[1], rel=1e-12)


def test_by_wires_all_vehicles_brake_at_once_and_the_electric_brake_counts() -> None:
    train = train_of("tarn", "tarn")
    ready = ready_train(train, train.outer_ends[0], {})
    found = cylinder_traces(ready, [FULL, BY_WIRES], engine)
    wires, air = found[BY_WIRES].cylinder_pa[10], found[FULL].cylinder_pa[10]
    assert np.ptp(wires) < 2e3 < np.ptp(air)
    assert force_traces(train, BY_WIRES, found[BY_WIRES]).electric_n is not None
    assert force_traces(train, FULL, found[FULL]).electric_n is None
    assert build_up_of(train, BY_WIRES) < build_up_of(train, FULL)


def test_the_last_vehicle_of_a_longer_train_brakes_later() -> None:
    train = train_of("fell", "fell")
    ready = ready_train(train, train.outer_ends[0], {})
    pressures = cylinder_traces(ready, [FULL], engine)[FULL].cylinder_pa
    begins = [int(np.argmax(pressures[:, n] > 0.2e5)) for n in range(pressures.shape[1])]
    assert begins == sorted(begins) and begins[-1] > begins[0]


def test_cylinders_end_at_what_the_data_say() -> None:
    train = train_of("tarn")
    ready = ready_train(train, train.outer_ends[0], {})
    pressures = cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY].cylinder_pa
    assert pressures[0].max() < 1e2
    most = full_bar(train.units[0], "1")
    assert most is not None and pressures[-1] == pytest.approx(most * 1e5, rel=0.01)


def test_the_rail_limits_a_vehicle_that_is_braked_too_hard() -> None:
    train = train_of("tarn")
    moving = moving_train(train)
    ready = ready_train(train, train.outer_ends[0], {})
    traces = force_traces(train, EMERGENCY, cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY])
    usual = vehicle_forces(train, moving, traces, 80.0)
    assert not any(force.is_limited for force in usual)
    assert sum(force.force_n for force in usual) / moving.heavy_kg == pytest.approx(0.9, abs=0.15)
    hard = type(traces)(traces.sample_s, traces.push_n * 2.0)
    limited = vehicle_forces(train, moving, hard, 80.0)
    assert all(force.is_limited for force in limited)
    weight = moving.mass_kg * 9.80665
    assert sum(force.force_n for force in limited) == pytest.approx(0.15 * weight)
    # The stop is that of the rail alone, longer than the force would give.
    stop = stop_from(braking_of(moving, hard), 80 * KMH)
    assert stop.distance_m > (80 * KMH) ** 2 / (2 * 0.15 * weight / moving.heavy_kg)


@pytest.mark.parametrize("first", NAMES)
@pytest.mark.parametrize("second", NAMES)
def test_every_pair_lies_between_endless_chains_and_lumps(first: str, second: str) -> None:
    train = train_of(first, second)
    assert lacking_to_meet(train) == ()
    for moving_first in (True, False):
        for row in predict_impact(train, moving_first, [1.0, 3.0]).at:
            assert row.endless_n < row.peak_n < row.lump_n * 1.001, (first, second, row)


def test_what_is_missing_is_named_once_for_a_type() -> None:
    beck = FLEET.find("beck")
    bare = [one.model_copy(update={"rotating_mass_share": None, "friction_brake": None}) for one in beck.vehicles]
    units = [TrainUnit(name, beck.model_copy(update={"vehicles": tuple(bare)}), "1") for name in "12"]
    assert lacking_to_stop(units) == tuple(
        f"not stated for type beck: {field} of vehicle {n}" for n in "123" for field in ("rotating_mass_share", "friction_brake")
    )


def test_pantographs_of_a_turned_unit_stand_turned() -> None:
    ahead = TrainUnit("1", FLEET.find("gale"), "1")
    turned = TrainUnit("2", FLEET.find("gale"), "2")
    supply = predict_supply(Train((ahead, turned), ()))
    assert supply is not None
    assert [round(at, 1) for _, at in supply.pantographs_m] == [34.5, 57.5, 92 + 92 - 57.5, 92 + 92 - 34.5]
    assert supply.standing_a == 220 and [round(gap.apart_m, 1) for gap in supply.gaps] == [23.0, 69.0, 23.0]
    assert predict_supply(train_of("fell")) is None
    assert [name for *_, name in vehicles_of(Train((turned,), ()))] == ["24", "23", "22", "21"]


def _question(
    gradient: float, hold_n: float = 100e3, notches: tuple[tuple[str, float, float], ...] = (("1", 40e3, 1.0),)
) -> PullQuestion:
    return PullQuestion("h", 150e3, 0.06, 6e3, 150e3, gradient, hold_n, hold_n, 1.5, 500e3, notches, PullSeen(0.5, 0.1, 20.0))


def test_on_a_hill_that_draws_it_off_the_unit_only_hangs() -> None:
    hangs = predict_pull(_question(0.02))
    assert hangs.proof == "let it hang" and hangs.use is not None
    assert hangs.use.coupling_n == pytest.approx(150e3 * 9.80665 * 0.02, rel=1e-3)
    assert predict_pull(_question(0.0)).proof == "in a notch"


def test_where_the_hill_eats_the_pull_or_the_hold_is_too_weak_it_is_not_here() -> None:
    assert predict_pull(_question(-0.025)).proof == "not here"
    weak = predict_pull(_question(0.0, hold_n=50e3))
    assert weak.proof == "not here" and "60.0 kN are needed" in weak.tried[1].why_not


def test_the_least_of_gear_frames_and_rules_ends_the_approach_and_the_couplers_begin_it() -> None:
    found = predict_impact(train_of("tarn", "gale"), True, [1.0, 4.0])
    assert found.closes_from_kmh == 1.0, "the greater of both couplers"
    for gear, frame, allowed, most in ((4.0, 6.0, 3.0, 3.0), (2.0, 6.0, 3.0, 2.0), (5.0, 2.5, 3.0, 2.5)):
        assert replace(found, gear_shuts_kmh=gear, frame_kmh=frame).window_kmh(allowed) == (1.0, most)
    assert predict_impact(train_of("tarn", "gale"), True, [1.0], by_the_blow=False).window_kmh(3.0)[0] == 0.0


@pytest.mark.outside(source="Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text", clause="4.2.4.2.1(15)", status="read")
@pytest.mark.parametrize("name", ["tarn", "gale", "fell", "beck"])
def test_no_emergency_jerks_as_hard_as_is_forbidden(name: str) -> None:
    # Below 4 m/s3 above 5 km/h: the steepest tenth of a second of the whole train's force, at a speed of strong friction.
    train = train_of(name, name)
    moving, ready = moving_train(train), ready_train(train, train.outer_ends[0], {})
    traces = force_traces(train, EMERGENCY, cylinder_traces(ready, [EMERGENCY], engine)[EMERGENCY])
    mu = np.array([vehicle.friction.at(40 * KMH) for vehicle in moving.vehicles])
    force_n = (traces.push_n * mu).sum(axis=1)
    jerk = np.diff(force_n) / traces.sample_s / moving.heavy_kg
    assert 0.05 < jerk.max() < 4.0
