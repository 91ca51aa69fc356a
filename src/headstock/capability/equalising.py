"""Does a portion held by its air brake stay held when its brake pipe is joined to another's?

The higher pipe eases the brake that the lower one holds. Each pair of pipes, as the two portions' valves leave them, is one run
of the air engine: every valve shut and locked, both cocks of the joint open. No answer means no.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from headstock.devices.distributor import DistributorSpec
from headstock.devices.registry import kind_of
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_air import TrainAir, brake_pipe_air_of, train_openings_of
from headstock.formation.train_state import as_left
from headstock.physics.air_run import AirEngine, AirRun, AirTrace
from headstock.physics.pipe_network import ATMOSPHERE_PA, Probe

UNTIL_S, SAMPLE_S = 60.0, 0.1
EASED_AT_MOST_PA = 2000.0
"""What counts as no easing: a fiftieth of a bar, below what a gauge can show."""


@dataclass(frozen=True, slots=True)
class PortionPipe:
    """A portion's units and what the words charged, drawn and empty mean in its pipe [bar, gauge]."""

    units: tuple[TrainUnit, ...]
    pipe_bar: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class EqualisingResult:
    """For one pair of pipes: does the moving portion's air brake stay on, and by how much was it eased at worst [Pa]."""

    moving_pipe: str
    standing_pipe: str
    keeps: bool
    eased_pa: float


def predict_equalising(
    train: Train,
    moving: PortionPipe,
    standing: PortionPipe,
    pipes: Sequence[str],
    engine: AirEngine,
    dead: frozenset[str] = frozenset(),
    outside_pa: float = ATMOSPHERE_PA,
) -> tuple[EqualisingResult, ...]:
    """Every pair of a drawn moving pipe with a standing one of ``pipes``. Raises OutsideModelError without a brake pipe.

    ``dead``: units without a working compressor, their main reservoirs empty and not joined to the others'.
    """
    air = brake_pipe_air_of(train, outside_pa)
    values = joint_made(train, dead, main_joined=not dead)
    pairs = list(product(("drawn",), pipes))
    runs = []
    for mine, other in pairs:
        pressures = {unit.name: moving.pipe_bar[mine] for unit in moving.units}
        pressures |= {unit.name: standing.pipe_bar[other] for unit in standing.units}
        runs.append(_run(train, air, values, pressures, dead))
    found = []
    for (mine, other), trace in zip(pairs, engine(runs), strict=True):
        eased_pa = max((_eased_pa(air, moving, number, trace) for number in _own(air, moving)), default=0.0)
        found.append(EqualisingResult(mine, other, eased_pa <= EASED_AT_MOST_PA, eased_pa))
    return tuple(found)


def joint_made(train: Train, dead: frozenset[str] = frozenset(), main_joined: bool = True) -> dict[str, str]:
    """Everything as it must be with the joint made, outer ends shut, every valve locked; compressors of ``dead`` units dead."""
    values = as_left(train)
    values |= {at.key(): "dead" for at, spec in train.devices() if spec.kind == "main reservoir" and at.unit in dead}
    for (here, spec), (there, other) in train.mated(train.joint_to_make):
        if not main_joined and getattr(spec, "pipe", "") == "main reservoir pipe":
            continue
        for at, device in ((here, spec), (there, other)):
            values.update(kind_of(device).end_state(at, device, "joint", True))
    for end in train.outer_ends:
        for at, spec in train.end_devices(end):
            if spec.kind in ("end cock", "hose"):
                values.update(kind_of(spec).end_state(at, spec, "rear", False))
    values.update({at.key(): "locked" for at, spec in train.devices() if spec.kind == "cab valve"})
    return values


def _run(train: Train, air: TrainAir, values: Mapping[str, str], pressures: Mapping[str, float], dead: frozenset[str]) -> AirRun:
    """Both cocks open at once: what a vent lets out while they are opened one after the other could only help."""
    openings = train_openings_of(air, train, values)
    main_bar = {unit.name: 0.0 if unit.name in dead else main_bar_of(unit) for unit in train.units}
    start = air_charge_of(air, train, openings, PipePressures(pressures, main_bar))
    cylinders = [Probe("brake cylinder", number) for number in range(len(air.gear.distributors))]
    # A brake by wires alone hangs on no pipe; its place is only filled.
    pipes = [Probe("branch", air.leaks.index(vehicle) if vehicle in air.brake_m else 0) for vehicle in air.gear.distributors]
    return AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, start.vessel_pa,
        start.cylinder_pa, (), UNTIL_S, (*cylinders, *pipes), SAMPLE_S,
    )  # fmt: skip


def _own(air: TrainAir, moving: PortionPipe) -> list[int]:
    """Numbers of the moving portion's brakes."""
    vehicles = {unit.vehicle_name(suffix) for unit in moving.units for suffix in unit.vehicle_suffixes}
    return [number for number, name in enumerate(air.gear.distributors) if name in vehicles]


def _eased_pa(air: TrainAir, moving: PortionPipe, number: int, trace: AirTrace) -> float:
    """How far a cylinder fell below its start; with direct release, how far its pipe rose, since any rise lets go."""
    if list(air.gear.distributors)[number] in _direct_release(moving):
        pipe = trace.readings_pa[:, len(air.gear.distributors) + number]
        return float((pipe - pipe[0]).max())
    cylinder = trace.readings_pa[:, number]
    return float((cylinder[0] - cylinder).max())


def _direct_release(moving: PortionPipe) -> frozenset[str]:
    return frozenset(
        unit.vehicle_name(suffix)
        for unit in moving.units
        for spec in unit.unit_type.devices.values()
        if isinstance(spec, DistributorSpec) and spec.release == "direct"
        for suffix in spec.acts_on_vehicles
    )
