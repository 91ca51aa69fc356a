"""Cylinder pressures along a train that is ready to leave, from the air engine, when its brake is called for.

By the automatic brake: the leading valve alone moves. By wires: application and holding wire live in every vehicle at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.devices.registry import kind_of
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_air import TrainAir, train_air_of, train_openings_of
from headstock.formation.train_state import as_left
from headstock.physics.air_run import AirEngine, AirRun, AirTrace
from headstock.physics.arrays import Floats
from headstock.physics.distributor import DistributorSetting
from headstock.physics.pipe_network import ATMOSPHERE_PA, Change, Probe

BEGINS_S = 3.0
"""The train stands charged so long before the brake is called for."""
SAMPLE_S = 0.1
LEAST_RUN_S = 20.0
EMERGENCY, FULL, BY_WIRES = "emergency", "full service", "full service by wires"
DOES = {EMERGENCY: "empty", FULL: "full"}


@dataclass(frozen=True, slots=True)
class ReadyTrain:
    """A train ready to leave: every joint made, pipes through, the cab at one end in use; values by key."""

    train: Train
    controls: UnitEnd
    values: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class CylinderTraces:
    """Pressures [Pa, gauge] (samples, vehicles) from the call on; a vehicle without a brake on the pipe stays at nothing."""

    vehicles: tuple[str, ...]
    sample_s: float
    cylinder_pa: Floats


def ready_train(train: Train, controls: UnitEnd, found: Mapping[str, str]) -> ReadyTrain:
    """Every joint made and its pipes open, outer ends shut, parking brakes off; brakes and compressors as found.

    Raises OutsideModelError where the leading cab has no brake valve on a brake pipe.
    """
    if not any(spec.kind == "cab valve" for _, spec in train.end_devices(controls)):
        raise OutsideModelError(f"the cab at {controls} has no brake valve: a brake worked by wires alone is not reckoned here")
    values = as_left(train)
    for joint in train.joints:
        for (here, spec), (there, other) in train.mated(joint):
            for at, device in ((here, spec), (there, other)):
                values.update(kind_of(device).end_state(at, device, "joint", True))
    for end in train.outer_ends:
        for at, spec in train.end_devices(end):
            if spec.kind in ("end cock", "hose"):
                values.update(kind_of(spec).end_state(at, spec, "rear", False))
    for at, spec in train.devices():
        if spec.kind in ("parking brake", "hand brake"):
            values[at.key()] = "off"
        if spec.kind in ("cab valve", "brake controller"):
            values[at.key()] = "locked"
    values |= {key: value for key, value in found.items() if value in ("isolated", "dead") and key in values}
    values[train.cab_valve(controls)[0].key()] = "running"
    return ReadyTrain(train, controls, values)


def cylinder_traces(ready: ReadyTrain, calls: Sequence[str], engine: AirEngine) -> dict[str, CylinderTraces]:
    """Traces by what is called for. Raises OutsideModelError for a train without a brake pipe."""
    air = train_air_of(ready.train)
    traces = engine([_run(ready, air, call) for call in calls])
    return {call: _traces(ready, air, trace) for call, trace in zip(calls, traces, strict=True)}


def _run(ready: ReadyTrain, air: TrainAir, call: str) -> AirRun:
    openings = train_openings_of(air, ready.train, ready.values)
    main_bar = {unit.name: main_bar_of(unit) for unit in ready.train.units}
    set_bar = ready.train.cab_valve(ready.controls)[1].set_pressure_bar
    pressures = PipePressures({unit.name: set_bar for unit in ready.train.units}, main_bar)
    start = air_charge_of(air, ready.train, openings, pressures)
    probes = tuple(Probe("brake cylinder", number) for number in range(len(air.gear.distributors)))
    return AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, start.vessel_pa,
        start.cylinder_pa, _timeline(ready, air, call), BEGINS_S + run_s(ready.train), probes, SAMPLE_S,
    )  # fmt: skip


def run_s(train: Train) -> float:
    """How long the brake is watched [s]: four times the slowest filling, never less than 20 s."""
    specs = [spec for unit in train.units for spec in unit.unit_type.devices.values()]
    slowest = max((getattr(spec, "cylinder_fill_s", 0.0) for spec in specs), default=0.0)
    return max(LEAST_RUN_S, 4.0 * slowest)


def _timeline(ready: ReadyTrain, air: TrainAir, call: str) -> tuple[Change, ...]:
    if call == BY_WIRES:
        now = train_openings_of(air, ready.train, ready.values).distributors
        live = (DistributorSetting(setting.isolated, True, True, setting.cylinder_leak_m2) for setting in now)
        return tuple(Change(BEGINS_S, number, setting) for number, setting in enumerate(live))
    key = ready.train.cab_valve(ready.controls)[0].key()
    moved = train_openings_of(air, ready.train, {**ready.values, key: DOES[call]}).valves
    number = air.valves.index(key)
    return (Change(BEGINS_S, number, moved[number]),)


def _traces(ready: ReadyTrain, air: TrainAir, trace: AirTrace) -> CylinderTraces:
    """From the call on, every vehicle of the train in order."""
    t_s = np.arange(0.0, run_s(ready.train) + 0.5 * SAMPLE_S, SAMPLE_S)
    names = [unit.vehicle_name(suffix) for unit in ready.train.units for suffix in unit.vehicle_suffixes]
    columns = np.zeros((t_s.size, len(names)))
    for number, vehicle in enumerate(air.gear.distributors):
        gauge_pa = trace.readings_pa[:, number] - ATMOSPHERE_PA
        columns[:, names.index(vehicle)] = np.interp(t_s + BEGINS_S, trace.t_s, gauge_pa)
    return CylinderTraces(tuple(names), SAMPLE_S, np.maximum(columns, 0.0))
