"""A portion whose main reservoirs are empty is joined to a live one by the main reservoir pipe: how low, how long, when up again.

The brake pipes stay apart meanwhile. The live portion's compressors run, the other's are dead.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headstock.capability.brake_traces import ReadyTrain
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import TrainUnit
from headstock.formation.train_air import TrainAir, train_air_of, train_openings_of
from headstock.formation.train_gear import MAIN, SPRINGS
from headstock.physics.air_run import AirEngine, AirRun
from headstock.physics.arrays import Floats
from headstock.physics.pipe_network import ATMOSPHERE_PA, Probe

UNTIL_S, SAMPLE_S = 900.0, 1.0
BAR_PA = 1e5


@dataclass(frozen=True, slots=True)
class Below:
    """A threshold of the live portion [bar, gauge], how long its main reservoirs are below it [s]; None: longer than watched."""

    what: str
    threshold_bar: float
    seconds: float | None


@dataclass(frozen=True, slots=True)
class ReservoirsResult:
    """Lowest that the live main reservoirs come to, and when; thresholds; when the dead portion's springs are held off [s]."""

    lowest_bar: float
    lowest_at_s: float
    below: tuple[Below, ...]
    wait_s: float | None


def predict_reservoirs(
    ready: ReadyTrain, live: tuple[TrainUnit, ...], dead: tuple[TrainUnit, ...], engine: AirEngine
) -> ReservoirsResult | None:  # fmt: skip
    """None where the live portion has no main reservoir. Raises OutsideModelError for a train without a brake pipe."""
    air = train_air_of(ready.train)
    mains, springs = _vessels(air, live, MAIN), _vessels(air, dead, SPRINGS)
    if not mains:
        return None
    (trace,) = engine([_run(ready, air, live, dead, (*mains, *springs))])
    gauge_bar = (trace.readings_pa - ATMOSPHERE_PA) / BAR_PA
    lowest = gauge_bar[:, : len(mains)].min(axis=1)
    at = int(np.argmin(lowest))
    thresholds = dict(_thresholds(live))
    below = tuple(Below(what, bar, _seconds_below(trace.t_s, lowest, bar)) for what, bar in thresholds.items())
    wait = _up_again(trace.t_s, gauge_bar[:, len(mains) :].min(axis=1), _off_bar(dead)) if springs else 0.0
    return ReservoirsResult(float(lowest[at]), float(trace.t_s[at]), below, wait)


def _vessels(air: TrainAir, units: tuple[TrainUnit, ...], what: str) -> tuple[int, ...]:
    names = {unit.vehicle_name(suffix) for unit in units for suffix in unit.vehicle_suffixes}
    return tuple(n for n, (vehicle, kind) in enumerate(air.gear.vessels) if kind == what and vehicle in names)


def _run(
    ready: ReadyTrain, air: TrainAir, live: tuple[TrainUnit, ...], dead: tuple[TrainUnit, ...], watched: tuple[int, ...]
) -> AirRun:  # fmt: skip
    train = ready.train
    names = {unit.name for unit in dead}
    joint = train.joint_to_make
    values = dict(ready.values)
    for at, spec in train.devices():
        if isinstance(spec, MainReservoirSpec):
            values[at.key()] = "dead" if at.unit in names else values[at.key()]
        elif spec.kind == "end cock" and spec.pipe == "brake pipe" and at.where in (str(joint.first), str(joint.second)):
            values[at.key()] = "shut"
    openings = train_openings_of(air, train, values)
    set_bar = train.cab_valve(ready.controls)[1].set_pressure_bar
    brake_bar = {unit.name: 0.0 if unit.name in names else set_bar for unit in train.units}
    main_bar = {unit.name: 0.0 if unit.name in names else main_bar_of(unit) for unit in train.units}
    start = air_charge_of(air, train, openings, PipePressures(brake_bar, main_bar))
    vessel_pa = tuple(
        ATMOSPHERE_PA if kind == SPRINGS and _owner(train.units, vehicle) in names else pressure
        for (vehicle, kind), pressure in zip(air.gear.vessels, start.vessel_pa, strict=True)
    )
    return AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, vessel_pa,
        start.cylinder_pa, (), UNTIL_S, tuple(Probe("vessel", number) for number in watched), SAMPLE_S,
    )  # fmt: skip


def _owner(units: tuple[TrainUnit, ...], vehicle: str) -> str:
    names = {unit.vehicle_name(suffix): unit.name for unit in units for suffix in unit.vehicle_suffixes}
    return names[vehicle]


def _thresholds(live: tuple[TrainUnit, ...]) -> list[tuple[str, float]]:
    """What the live portion needs: its parking brakes off, and its brake pipe fed."""
    found = []
    off = _off_bar(live)
    if off > 0.0:
        found.append(("its parking brakes stay off for certain", off))
    sets = [
        spec.set_pressure_bar
        for unit in live
        for end in unit.unit_type.ends.values()
        for spec in end.devices.values()
        if isinstance(spec, CabValveSpec)
    ]
    if sets:
        found.append(("its brake pipe can be fed", max(sets)))
    return found


def _off_bar(units: tuple[TrainUnit, ...]) -> float:
    specs = [spec for unit in units for spec in unit.unit_type.devices.values()]
    return max((spec.off_above_bar for spec in specs if isinstance(spec, ParkingBrakeSpec)), default=0.0)


def _seconds_below(t_s: Floats, bar: Floats, threshold_bar: float) -> float | None:
    if bar[-1] < threshold_bar:
        return None
    return float(sum(then - now for (now, then), low in zip(pairwise(t_s), bar < threshold_bar, strict=False) if low))


def _up_again(t_s: Floats, bar: Floats, threshold_bar: float) -> float | None:
    reached = np.flatnonzero(bar >= threshold_bar - 1e-6)
    return float(t_s[reached[0]]) if reached.size else None
