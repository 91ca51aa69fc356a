"""Cylinder pressures along a train that is ready to leave, from the air engine, when its brake is called for.

By the automatic brake: the leading valve alone moves. By wires: application and holding wire live at once in every vehicle to
which the leading cab's wires go. A cab without a brake pipe has nothing but its wires.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeGuard

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.devices.registry import kind_of
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, TrainUnit, UnitEnd
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
    """A train ready to leave: every joint made, pipes through, the cab at one end in use; values by key.

    ``wired``: units to which the leading cab's wires go; ``without_air``: units whose main reservoirs stay empty.
    """

    train: Train
    controls: UnitEnd
    values: Mapping[str, str]
    wired: frozenset[str] = frozenset()
    without_air: frozenset[str] = frozenset()
    outside_pa: float = ATMOSPHERE_PA

    @property
    def has_valve(self) -> bool:
        """Whether the leading cab works a brake pipe."""
        return has_valve(self.train, self.controls)


@dataclass(frozen=True, slots=True)
class CylinderTraces:
    """Pressures [Pa, gauge] (samples, vehicles) from the call on; a vehicle that nothing reaches stays at nothing."""

    vehicles: tuple[str, ...]
    sample_s: float
    cylinder_pa: Floats


def has_valve(train: Train, cab: UnitEnd) -> bool:
    """Whether the cab at an end works a brake pipe."""
    return any(spec.kind == "cab valve" for _, spec in train.end_devices(cab))


def ready_train(
    train: Train, controls: UnitEnd, found: Mapping[str, str], wired: frozenset[str] | None = None,
    without_air: frozenset[str] = frozenset(), outside_pa: float = ATMOSPHERE_PA,
) -> ReadyTrain:  # fmt: skip
    """Every joint made and its pipes open, outer ends shut, parking brakes off; brakes and compressors as found.

    The main reservoir pipe of a unit ``without_air`` stays apart from that of one with air.
    ``wired`` not given: the leading cab's wires go to every unit. Raises OutsideModelError where nothing in the leading cab
    calls for a brake.
    """
    cab = [(at, spec) for at, spec in train.end_devices(controls) if spec.kind in ("cab valve", "brake controller")]
    if not cab:
        raise OutsideModelError(f"the cab at {controls} has neither a brake valve nor a brake controller")
    values = as_left(train)
    for joint in train.joints:
        stays_apart = (joint.first.unit in without_air) != (joint.second.unit in without_air)
        for (here, spec), (there, other) in train.mated(joint):
            if stays_apart and getattr(spec, "pipe", "") == "main reservoir pipe":
                continue
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
    values[cab[0][0].key()] = "running" if cab[0][1].kind == "cab valve" else "release"
    reached = frozenset(unit.name for unit in train.units) if wired is None else wired
    return ReadyTrain(train, controls, values, reached, without_air, outside_pa)


def cylinder_traces(ready: ReadyTrain, calls: Sequence[str], engine: AirEngine) -> dict[str, CylinderTraces]:
    """Traces by what is called for. Raises OutsideModelError for a train without air."""
    air = train_air_of(ready.train, ready.outside_pa)
    traces = engine([_run(ready, air, call) for call in calls])
    return {call: _traces(ready, air, trace) for call, trace in zip(calls, traces, strict=True)}


def _run(ready: ReadyTrain, air: TrainAir, call: str) -> AirRun:
    openings = train_openings_of(air, ready.train, ready.values, _released(air))
    main_bar = {unit.name: 0.0 if unit.name in ready.without_air else main_bar_of(unit) for unit in ready.train.units}
    pressures = PipePressures({unit.name: _pipe_bar(ready, unit) for unit in ready.train.units}, main_bar)
    start = air_charge_of(air, ready.train, openings, pressures)
    probes = tuple(Probe("brake cylinder", number) for number in range(len(air.gear.distributors)))
    return AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, start.vessel_pa,
        start.cylinder_pa, _timeline(ready, air, call), BEGINS_S + run_s(ready.train), probes, SAMPLE_S,
    )  # fmt: skip


def _pipe_bar(ready: ReadyTrain, unit: TrainUnit) -> float:
    """As the leading valve charges it; a pipe that no valve feeds as its own unit's would: off, and nothing puts it on."""
    if ready.has_valve:
        return ready.train.cab_valve(ready.controls)[1].set_pressure_bar
    specs = [spec for end in unit.unit_type.ends.values() for spec in end.devices.values()]
    return max((spec.set_pressure_bar for spec in specs if isinstance(spec, CabValveSpec)), default=0.0)


def _released(air: TrainAir) -> dict[str, tuple[bool, bool]]:
    """No wire live anywhere: a brake that has nothing but wires is off as well."""
    return dict.fromkeys(air.gear.distributors, (False, False))


def run_s(train: Train) -> float:
    """How long the brake is watched [s]: four times the slowest filling, never less than 20 s."""
    specs = [spec for unit in train.units for spec in unit.unit_type.devices.values()]
    slowest = max((getattr(spec, name, 0.0) for spec in specs for name in ("cylinder_fill_s", "fill_s")), default=0.0)
    return max(LEAST_RUN_S, 4.0 * slowest)


def answering(ready: ReadyTrain, call: str) -> frozenset[str]:
    """Vehicles whose brake a call reaches by wires.

    An emergency of a cab that works a brake pipe goes by that pipe; by wires to those brakes alone that have nothing else.
    """
    if call == FULL:
        return frozenset()
    by_pipe = call == EMERGENCY and ready.has_valve
    found = set()
    for unit in ready.train.units:
        for spec in unit.unit_type.devices.values():
            if unit.name in ready.wired and _has_wires(spec, not by_pipe):
                found |= {unit.vehicle_name(suffix) for suffix in spec.acts_on_vehicles}
    return frozenset(found)


def _has_wires(spec: object, overlay: bool) -> TypeGuard[DistributorSpec | WiredBrakeSpec]:
    """A brake that answers to wires: with nothing else, or with an overlay where that counts."""
    return isinstance(spec, WiredBrakeSpec) or (overlay and isinstance(spec, DistributorSpec) and spec.electric is not None)


def _timeline(ready: ReadyTrain, air: TrainAir, call: str) -> tuple[Change, ...]:
    now = train_openings_of(air, ready.train, ready.values, _released(air)).distributors
    wires = answering(ready, call)
    changes: list[Change] = [
        Change(BEGINS_S, number, DistributorSetting(now[number].isolated, True, True, now[number].cylinder_leak_m2))
        for number, vehicle in enumerate(air.gear.distributors)
        if vehicle in wires
    ]
    if call in DOES and ready.has_valve:
        key = ready.train.cab_valve(ready.controls)[0].key()
        moved = train_openings_of(air, ready.train, {**ready.values, key: DOES[call]}, _released(air)).valves
        number = air.valves.index(key)
        changes.append(Change(BEGINS_S, number, moved[number]))
    return tuple(changes)


def _traces(ready: ReadyTrain, air: TrainAir, trace: AirTrace) -> CylinderTraces:
    """From the call on, every vehicle of the train in order."""
    t_s = np.arange(0.0, run_s(ready.train) + 0.5 * SAMPLE_S, SAMPLE_S)
    names = [unit.vehicle_name(suffix) for unit in ready.train.units for suffix in unit.vehicle_suffixes]
    columns = np.zeros((t_s.size, len(names)))
    for number, vehicle in enumerate(air.gear.distributors):
        gauge_pa = trace.readings_pa[:, number] - ready.outside_pa
        columns[:, names.index(vehicle)] = np.interp(t_s + BEGINS_S, trace.t_s, gauge_pa)
    return CylinderTraces(tuple(names), SAMPLE_S, np.maximum(columns, 0.0))
