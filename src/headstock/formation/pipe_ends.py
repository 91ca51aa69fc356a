"""One pipe at the ends of a train's units: its cock, its hose or port, the cab valve behind, and what faces what."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from headstock.base.errors import OutsideModelError
from headstock.devices.air_pipe import AirPipeSpec
from headstock.devices.end_cock import Pipe, hose_key
from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd

Placed = tuple[At, Any]
"""A device's place and its data."""


@dataclass(frozen=True, slots=True)
class PipeEnd:
    """A pipe at one unit end. Without cock, hose and port it ends there with a wall; brake valves are on the brake pipe."""

    end: UnitEnd
    cock: Placed | None = None
    hose: Placed | None = None
    port: Placed | None = None
    valve: Placed | None = None


@dataclass(frozen=True, slots=True)
class PipeUnit:
    """A unit with the pipe through it, and the pipe at its ends in the train's order."""

    unit: TrainUnit
    pipe: AirPipeSpec
    first: PipeEnd
    last: PipeEnd


@dataclass(frozen=True, slots=True)
class PipeJoint:
    """Where two units that both have the pipe face one another; ``mates`` when it can be joined there."""

    joint: Joint
    first: PipeEnd
    second: PipeEnd
    mates: bool


@dataclass(frozen=True, slots=True)
class PipeChain:
    """One pipe through a train: neighbouring units that have it, and the joints between them."""

    units: tuple[PipeUnit, ...]
    joints: tuple[PipeJoint, ...]


def pipe_end(train: Train, end: UnitEnd, pipe: Pipe) -> PipeEnd:
    """What a pipe has at one end."""
    devices = {at.key(): (at, spec) for at, spec in train.end_devices(end)}
    cock = hose = port = valve = None
    for at, spec in devices.values():
        if spec.kind == "end cock" and spec.pipe == pipe:
            cock, hose = (at, spec), devices[hose_key(at)]
        elif spec.kind == "automatic coupler" and pipe in spec.ports:
            port = (at, spec)
        elif spec.kind == "cab valve" and pipe == "brake pipe":
            valve = (at, spec)
    return PipeEnd(end, cock, hose, port, valve)


def pipe_chain(train: Train, pipe: Pipe) -> PipeChain:
    """One pipe through a train. Raises OutsideModelError when no unit has it, or one between others lacks it."""
    chains = pipe_chains(train, pipe)
    if not chains:
        names = ", ".join(unit.name for unit in train.units)
        raise OutsideModelError(f"no unit of the train has a {pipe}: {names}", why="There is no such pipe to work out.")
    if len(chains) > 1:
        behind = next(n for n, unit in enumerate(train.units) if unit.name == chains[0].units[-1].unit.name) + 1
        unit = train.units[behind]
        raise OutsideModelError(
            f"{unit.name} ({unit.unit_type.type}) has no {pipe} and stands between units that have one",
            why="The pipe would be two pipes there; one pipe from one end to the other is what is worked out.",
            cure="Work out the units on either side of it as trains of their own.",
        )
    return chains[0]


def pipe_chains(train: Train, pipe: Pipe) -> tuple[PipeChain, ...]:
    """Every run of neighbouring units that have a pipe, in the train's order."""
    runs: list[list[TrainUnit]] = [[]]
    for unit in train.units:
        if unit.unit_type.air_pipe(pipe) is None:
            runs.append([])
        else:
            runs[-1].append(unit)
    return tuple(_chain(train, run, pipe) for run in runs if run)


def _chain(train: Train, run: list[TrainUnit], pipe: Pipe) -> PipeChain:
    units = tuple(unit for each in run if (unit := _pipe_unit(train, each, pipe)) is not None)
    ends = {str(end.end): end for unit in units for end in (unit.first, unit.last)}
    joints = tuple(
        PipeJoint(joint, ends[str(joint.first)], ends[str(joint.second)], _mates(ends[str(joint.first)], ends[str(joint.second)]))
        for joint in train.joints
        if str(joint.first) in ends and str(joint.second) in ends
    )
    return PipeChain(units, joints)


def _pipe_unit(train: Train, unit: TrainUnit, pipe: Pipe) -> PipeUnit | None:
    spec = unit.unit_type.air_pipe(pipe)
    if spec is None:
        return None
    first = UnitEnd(unit.name, unit.first_end)
    return PipeUnit(unit, spec, pipe_end(train, first, pipe), pipe_end(train, first.other, pipe))


def _mates(first: PipeEnd, second: PipeEnd) -> bool:
    for one, other in ((first.hose, second.hose), (first.port, second.port)):
        if one is not None and other is not None:
            return bool(kind_of(one[1]).mates(one[1], other[1]))
    return False
