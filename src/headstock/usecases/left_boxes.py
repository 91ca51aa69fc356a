"""How everything was left, as boxes to tick in words: what the unit types say is ticked at first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.registry import kind_of
from headstock.formation.train import Train, TrainUnit, UnitEnd
from headstock.formation.train_state import as_left
from headstock.reasoning.variable import Variable


@dataclass(frozen=True, slots=True)
class LeftBox:
    """One thing, each of its states in words, and which of them is ticked."""

    key: str
    name: str
    states: tuple[tuple[str, str], ...]
    ticked: str


@dataclass(frozen=True, slots=True)
class LeftGroup:
    """What one looks at in one place; ``at_joint``: an end that the work is done at."""

    about: str
    at_joint: bool
    boxes: tuple[LeftBox, ...]


def left_of(train: Train, work: str) -> dict[str, str]:
    """How all stands where nothing is said: as the unit types say; where a joint is parted it is made at first."""
    made = replace(train, joints=tuple(replace(joint, made=joint.made or work == "detach") for joint in train.joints))
    return as_left(made)


def left_boxes(train: Train, work: str, moves_first: bool, said: Mapping[str, str]) -> tuple[LeftGroup, ...]:
    """Ends at the joint first, then each unit with its other ends. ``said``: what was ticked before, by key."""
    ticked = {**left_of(train, work), **(said or _first_ticks(train, work, moves_first))}
    moving = frozenset(unit.name for unit in train.portions()[0 if moves_first else 1])
    joint = train.joint_to_make
    ends = [joint.first, joint.second]
    others = [UnitEnd(unit.name, end) for unit in train.units for end in ("1", "2") if UnitEnd(unit.name, end) not in ends]
    groups = [LeftGroup(f"End {end}, at the joint", True, _boxes(train, end, ticked, moving)) for end in ends]
    groups += [LeftGroup(f"Unit {unit.name}", False, _unit_boxes(train, unit.name, ticked)) for unit in train.units]
    groups += [LeftGroup(f"End {end}", False, _boxes(train, end, ticked, moving)) for end in others]
    return tuple(group for group in groups if group.boxes)


def _first_ticks(train: Train, work: str, moves_first: bool) -> dict[str, str]:
    """What the kind of work itself says: a unit that is rescued has no air."""
    if work != "rescue":
        return {}
    first, second = train.portions()
    dead = second if moves_first else first
    return {f"{unit.name}.{name}": "dead" for unit in dead for name, spec in unit.unit_type.devices.items()
            if isinstance(spec, MainReservoirSpec)}  # fmt: skip


def _boxes(train: Train, end: UnitEnd, ticked: Mapping[str, str], moving: frozenset[str]) -> tuple[LeftBox, ...]:
    """How the valves of what moves stand is not asked: the work itself says it."""
    return tuple(_box(variable, str(end), ticked) for at, spec in train.end_devices(end)
                 if not (isinstance(spec, CabValveSpec) and end.unit in moving)
                 for variable in kind_of(spec).variables(at, spec))  # fmt: skip


def valves_of(units: Sequence[TrainUnit], train: Train) -> frozenset[str]:
    """Keys of the brake valves of these units."""
    return frozenset(at.key() for unit in units for end in ("1", "2") for at, spec in train.end_devices(UnitEnd(unit.name, end))
                     if isinstance(spec, CabValveSpec))  # fmt: skip


def _unit_boxes(train: Train, unit: str, ticked: Mapping[str, str]) -> tuple[LeftBox, ...]:
    return tuple(_box(variable, unit, ticked) for at, spec in train.devices() if at.unit == unit and not at.end
                 for variable in kind_of(spec).variables(at, spec))  # fmt: skip


def _box(variable: Variable, where: str, ticked: Mapping[str, str]) -> LeftBox:
    name = variable.label.replace(f" of {where}", "")
    states = tuple((value, _state(variable, value)) for value in variable.domain)
    return LeftBox(variable.key, name[0].upper() + name[1:], states, ticked[variable.key])


def _state(variable: Variable, value: str) -> str:
    return variable.say(value).removeprefix(variable.label).strip() or value
