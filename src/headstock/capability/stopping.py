"""Stopping: distances and times on gradients, build-up, what each brake lost costs, the speed that keeps a distance.

Running resistance is left out: on the safe side. A brake cut out is one that gives nothing; the pressures of the others stay.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.equipment.unit_type import VehicleSpec
from headstock.formation.train import Train
from headstock.formation.train_on_rail import friction_law, vehicles_of
from headstock.physics.arrays import Floats
from headstock.physics.braked_weight import CURVES, LEAST_PERCENT, MOST_PERCENT, distance_of_percent, rated_percent
from headstock.physics.build_up import build_up_s, time_to_share_s
from headstock.physics.conversion_model import UP_TO_KMH, emergency_distance_m
from headstock.physics.motion import (
    Braking,
    MovingTrain,
    Stop,
    StopSet,
    Traces,
    Track,
    braking_of,
    speed_for_distance,
    stop_from,
    stops_of,
)
from headstock.physics.speed_law import KMH

SPEEDS_KMH = (30.0, 50.0, 80.0, 100.0, 120.0, 140.0, 160.0, 200.0, 230.0, 300.0)
"""Speeds of the table [km/h]: those at which a stop is declared (LOCPAS-TSI-1302-2014, 4.2.4.5.2(3)), and two below."""
FALLS = (0.0, 0.005, 0.010, 0.015, 0.020, 0.025)
"""Falling gradients of the table [rise/run]."""
LostGroups = Sequence[tuple[str, frozenset[str]]]
"""Sets of vehicles to lose together, each with its words."""
SLIDE_PROTECTION_ASKED = 0.11
"""Adhesion asked above which wheel slide protection is needed, but for tread brakes (LOCPAS-TSI-1302-2014, 4.2.4.6.2)."""


@dataclass(frozen=True, slots=True)
class BuildUp:
    """Of the whole train's push: begins (a tenth of it there), 95 % there, equivalent build-up [s]."""

    begins_s: float
    nearly_full_s: float
    equivalent_s: float


@dataclass(frozen=True, slots=True)
class LostBrake:
    """Stop with a brake, or all brakes of a portion, cut out; ``keeps_kmh`` still keeps the whole train's distance."""

    lost: str
    stop: Stop
    longer_m: float | None
    keeps_kmh: float | None


@dataclass(frozen=True, slots=True)
class VehicleForce:
    """One vehicle with its brake fully on at one speed: force at the rail [N], adhesion it asks, whether the rail limits it."""

    vehicle: str
    force_n: float
    adhesion_asked: float
    is_limited: bool


@dataclass(frozen=True, slots=True)
class StoppingResult:
    """One call for the brake: build-up, table by speed (rows) and falling gradient (columns), losses, a distance to keep."""

    call: str
    build_up: BuildUp
    speeds_kmh: tuple[float, ...]
    falls: tuple[float, ...]
    table: tuple[tuple[Stop, ...], ...]
    here: tuple[Stop, ...]
    at_kmh: float
    forces: tuple[VehicleForce, ...]
    lost: tuple[LostBrake, ...]
    keeps_kmh: float | None


@dataclass(frozen=True, slots=True)
class StoppingQuestion:
    """What is asked: track of ``here``, the speed at which losses are reckoned [km/h], a distance to keep [m] if any.

    ``up_to_kmh`` is the train's greatest speed; ``groups`` are sets of vehicles to lose together, by name.
    """

    track: Track
    at_kmh: float
    up_to_kmh: float
    distance_m: float | None
    groups: LostGroups = ()


def predict_stopping(
    call: str, train: Train, moving: MovingTrain, traces: Traces, asked: StoppingQuestion
) -> StoppingResult:  # fmt: skip
    """All of it for one call. Raises OutsideModelError where no brake applies, or beyond the speeds its laws are made for."""
    level = braking_of(moving, traces)
    up_to_kmh = min(asked.up_to_kmh, level.up_to_m_s / KMH)
    speeds = speeds_to(up_to_kmh)
    columns = [stops_of(level.on_track(Track(((0.0, -fall),))), StopSet(np.array(speeds) * KMH)) for fall in FALLS]
    here = level.on_track(asked.track)
    at_kmh = min(asked.at_kmh, up_to_kmh)
    keeps = None if asked.distance_m is None else speed_for_distance(here, asked.distance_m)
    return StoppingResult(
        call, BuildUp(time_to_share_s(traces, 0.1), time_to_share_s(traces, 0.95), build_up_s(traces)), speeds, FALLS,
        tuple(zip(*columns, strict=True)), stops_of(here, StopSet(np.array(speeds) * KMH)), at_kmh,
        vehicle_forces(train, moving, traces, at_kmh), _lost(train, here, at_kmh, asked.groups),
        None if keeps is None else min(keeps / KMH, up_to_kmh),
    )  # fmt: skip


def speeds_to(up_to_kmh: float) -> tuple[float, ...]:
    """Speeds of the table up to the train's own, that one last [km/h]."""
    return (*(speed for speed in SPEEDS_KMH if speed < up_to_kmh), up_to_kmh)


def vehicle_forces(train: Train, moving: MovingTrain, traces: Traces, at_kmh: float) -> tuple[VehicleForce, ...]:
    """Each vehicle's force with its brake fully on, and what it asks of the rail."""
    limit = moving.adhesion.at(at_kmh * KMH)
    found = []
    for n, ((_, vehicle, name), on_rail) in enumerate(zip(vehicles_of(train), moving.vehicles, strict=True)):
        brake = vehicle.friction_brake
        law = friction_law(brake.friction).by_speed if brake is not None else on_rail.friction
        force = float(traces.push_n[-1, n]) * law.at(at_kmh * KMH)
        weight = on_rail.mass_kg * 9.80665 * on_rail.braked_share
        found.append(VehicleForce(name, min(force, limit * weight), force / weight, force > limit * weight))
    return tuple(found)


def _lost(
    train: Train, braking: Braking, at_kmh: float, groups: LostGroups
) -> tuple[LostBrake, ...]:  # fmt: skip
    """Each brake cut out by itself, then each group; against the whole train from the same speed."""
    names = [name for _, _, name in vehicles_of(train)]
    cuts = [(f"brake of {name}", frozenset({name})) for name in names] + list(groups)
    on = np.array([[0.0 if name in cut else 1.0 for name in names] for _, cut in cuts])
    whole = stop_from(braking, at_kmh * KMH)
    stops = stops_of(braking, StopSet(np.full(len(cuts), at_kmh * KMH), on=on))
    return tuple(
        LostBrake(words, stop, _longer(stop, whole), _keeps(braking, whole, on[row]))
        for row, ((words, _), stop) in enumerate(zip(cuts, stops, strict=True))
    )


def _longer(stop: Stop, whole: Stop) -> float | None:
    return stop.distance_m - whole.distance_m if stop.is_stopped and whole.is_stopped else None


def _keeps(braking: Braking, whole: Stop, on: Floats) -> float | None:
    if not whole.is_stopped:
        return None
    speed = speed_for_distance(braking, whole.distance_m, on=on)
    return None if speed is None else speed / KMH


@dataclass(frozen=True, slots=True)
class BrakedWeight:
    """Braked weight percentage: rated from the data; of the stop on the level, by speed [km/h]; None: not known.

    ``by_control``: the emergency stop [m] that train control reckons with from the rated figure and the length, by speed [km/h];
    ``not_by_control``: why it does not. ``by_curve``: the stop [m] that the curve makes of the rated figure, by speed [km/h].
    """

    rated_percent: float | None
    of_stop: tuple[tuple[float, float | None], ...]
    by_control: tuple[tuple[float, float], ...] = ()
    not_by_control: str | None = None
    by_curve: tuple[tuple[float, float], ...] = ()


def braked_weight(
    train: Train, level: Braking, up_to_kmh: float = 400.0, cut: frozenset[str] = frozenset()
) -> BrakedWeight:  # fmt: skip
    """Rated: sum of braked weights over sum of masses; of the stop: by the curve of stopping distances, within its range.

    Vehicles ``cut`` out weigh but do not brake; no stop from faster than ``up_to_kmh``.
    """
    rated = [_rated_t(vehicle, name in cut) for _, vehicle, name in vehicles_of(train)]
    masses = tuple(vehicle.mass_t for _, vehicle, _ in vehicles_of(train))
    weights = tuple(weight for weight in rated if weight is not None)
    percent = rated_percent(weights, masses) if len(weights) == len(masses) else None
    of_stop = []
    for kmh, curve in CURVES.items():
        value = None
        if kmh * KMH <= level.up_to_m_s and kmh <= up_to_kmh:
            stop = stop_from(level, kmh * KMH)
            found = curve.c_m / stop.distance_m - curve.d if stop.is_stopped else 0.0
            value = found if LEAST_PERCENT <= found <= MOST_PERCENT else None
        of_stop.append((kmh, value))
    if percent is None:
        return BrakedWeight(None, tuple(of_stop))
    by_control, beyond = _by_control(percent, float(level.train[2]), speeds_to(min(up_to_kmh, UP_TO_KMH)))
    in_range = LEAST_PERCENT <= percent <= MOST_PERCENT
    by_curve = tuple((kmh, distance_of_percent(percent, kmh)) for kmh in CURVES if in_range and kmh <= up_to_kmh)
    return BrakedWeight(percent, tuple(of_stop), by_control, beyond, by_curve)


def _by_control(
    percent: float, length_m: float, speeds_kmh: tuple[float, ...]
) -> tuple[tuple[tuple[float, float], ...], str | None]:  # fmt: skip
    """Within the published range of the conversion alone; beyond it nothing but what is beyond."""
    try:
        return tuple((kmh, emergency_distance_m(percent, length_m, kmh)) for kmh in speeds_kmh), None
    except OutsideModelError as error:
        return (), error.what


def _rated_t(vehicle: VehicleSpec, is_cut: bool) -> float | None:
    brake = vehicle.friction_brake
    if brake is None or brake.braked_weight_t is None:
        return None
    return 0.0 if is_cut else brake.braked_weight_t


@dataclass(frozen=True, slots=True)
class RunningTest:
    """A running test by the automatic brake alone, between two speeds: with which brakes, time and distance to expect."""

    brakes: str
    from_kmh: float
    to_kmh: float
    stop: Stop


def predict_running_test(
    train: Train, moving: MovingTrain, traces: Traces, track: Track, from_kmh: float, to_kmh: float,
    groups: LostGroups,
) -> tuple[RunningTest, ...]:  # fmt: skip
    """All brakes, then with each group lost: what the train would do if the pipe ended there. Raises OutsideModelError."""
    braking = braking_of(moving, traces, track, to_kmh * KMH)
    names = [name for _, _, name in vehicles_of(train)]
    cuts = [("all brakes", frozenset[str]()), *groups]
    on = np.array([[0.0 if name in cut else 1.0 for name in names] for _, cut in cuts])
    stops = stops_of(braking, StopSet(np.full(len(cuts), from_kmh * KMH), on=on))
    return tuple(RunningTest(words, from_kmh, to_kmh, stop) for (words, _), stop in zip(cuts, stops, strict=True))
