"""Units in order along a road, their ends, the joints between them, and every device with its place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.equipment.unit_type import EndSpec, UnitType


@dataclass(frozen=True, slots=True)
class UnitEnd:
    """One end of one unit, written ``UNIT/1`` or ``UNIT/2``."""

    unit: str
    end: str

    def __str__(self) -> str:
        return f"{self.unit}/{self.end}"

    @property
    def other(self) -> UnitEnd:
        """The unit's other end."""
        return UnitEnd(self.unit, "2" if self.end == "1" else "1")


@dataclass(frozen=True, slots=True)
class TrainUnit:
    """A unit in the train; ``first_end`` is the end towards the place's first direction."""

    name: str
    unit_type: UnitType
    first_end: str

    def vehicle_name(self, suffix: str) -> str:
        """The number of one of its vehicles."""
        return f"{self.name}{suffix}"

    @property
    def vehicle_suffixes(self) -> tuple[str, ...]:
        """Vehicles in order from the place's first direction."""
        order = tuple(vehicle.suffix for vehicle in self.unit_type.vehicles)
        return order if self.first_end == "1" else order[::-1]

    def end_spec(self, end: str) -> EndSpec:
        """Data of one end."""
        return self.unit_type.ends[end]  # type: ignore[index]


@dataclass(frozen=True, slots=True)
class Joint:
    """Two unit ends facing one another; ``made`` when they are already joined."""

    first: UnitEnd
    second: UnitEnd
    made: bool

    def __str__(self) -> str:
        return f"{self.first} and {self.second}"


@dataclass(frozen=True, slots=True)
class Train:
    """Units in order from the place's first direction to its second, and the joints between neighbours."""

    units: tuple[TrainUnit, ...]
    joints: tuple[Joint, ...]

    def unit(self, name: str) -> TrainUnit:
        """A unit by its name."""
        return next(unit for unit in self.units if unit.name == name)

    def vehicle_at(self, end: UnitEnd) -> str:
        """The vehicle that carries an end of a unit."""
        unit = self.unit(end.unit)
        return unit.vehicle_name(unit.end_spec(end.end).vehicle)

    @property
    def outer_ends(self) -> tuple[UnitEnd, UnitEnd]:
        """The two ends of the finished train."""
        first, last = self.units[0], self.units[-1]
        return UnitEnd(first.name, first.first_end), UnitEnd(last.name, last.first_end).other

    @property
    def joint_to_make(self) -> Joint:
        """The joint that the job makes."""
        return next(joint for joint in self.joints if not joint.made)

    def portions(self) -> tuple[tuple[TrainUnit, ...], tuple[TrainUnit, ...]]:
        """Units on either side of the joint to make."""
        cut = self.joints.index(self.joint_to_make) + 1
        return self.units[:cut], self.units[cut:]

    def start_m(self, name: str) -> float:
        """Where a unit begins [m from the train's first end]."""
        at = 0.0
        for unit in self.units:
            if unit.name == name:
                return at
            at += unit.unit_type.length_m
        raise KeyError(name)

    def end_position_m(self, end: UnitEnd) -> float:
        """Where a unit end stands [m from the train's first end]."""
        unit = self.unit(end.unit)
        return self.start_m(end.unit) + (0.0 if unit.first_end == end.end else unit.unit_type.length_m)

    def vehicle_position_m(self, unit_name: str, suffix: str) -> float:
        """Middle of a vehicle [m from the train's first end]."""
        unit = self.unit(unit_name)
        at = self.start_m(unit_name)
        lengths = {vehicle.suffix: vehicle.length_m for vehicle in unit.unit_type.vehicles}
        for here in unit.vehicle_suffixes:
            if here == suffix:
                return at + lengths[here] / 2
            at += lengths[here]
        raise KeyError(suffix)

    def devices(self) -> Iterator[tuple[At, Any]]:
        """Every device with its place: of the units, their vehicles, their ends."""
        for unit in self.units:
            for name, spec in unit.unit_type.devices.items():
                yield At(unit.name, name), spec
            for vehicle in unit.unit_type.vehicles:
                for name, spec in vehicle.devices.items():
                    yield At(unit.name, name, vehicle=unit.vehicle_name(vehicle.suffix)), spec
            for end in ("1", "2"):
                yield from self.end_devices(UnitEnd(unit.name, end))

    def end_devices(self, end: UnitEnd) -> Iterator[tuple[At, Any]]:
        """Devices of one end with their places."""
        for name, spec in self.unit(end.unit).end_spec(end.end).devices.items():
            yield At(end.unit, name, end=end.end), spec

    def cab_valve(self, end: UnitEnd) -> tuple[At, CabValveSpec]:
        """The driver's brake valve of the cab at an end, with its place. Raises KeyError where there is no cab."""
        for at, spec in self.end_devices(end):
            if isinstance(spec, CabValveSpec):
                return at, spec
        raise KeyError(f"no brake valve at {end}")

    def mated(self, joint: Joint) -> tuple[tuple[tuple[At, Any], tuple[At, Any]], ...]:
        """Pairs of devices across a joint that can be joined to one another."""
        pairs = []
        for here, spec in self.end_devices(joint.first):
            for there, other in self.end_devices(joint.second):
                if spec.kind == other.kind and kind_of(spec).mates(spec, other):
                    pairs.append(((here, spec), (there, other)))
        return tuple(pairs)


def unit_end_from(text: str, units: dict[str, UnitType], path: str, file: str, line: int | None = None) -> UnitEnd:
    """``UNIT/1`` as a unit end. Raises InputError naming what is wrong."""
    name, _, end = text.rpartition("/")
    if name not in units:
        fault = Fault("unknown unit", file, line, path, text, "UNIT/1 or UNIT/2", nearest_of(name or text, units))
        raise InputError(fault)
    if end not in ("1", "2"):
        raise InputError(Fault("unknown unit end", file, line, path, text, f"{name}/1 or {name}/2"))
    return UnitEnd(name, end)
