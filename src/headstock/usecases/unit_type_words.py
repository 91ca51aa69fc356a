"""A unit type in words, part by part, each with where its figures come from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from headstock.base.sources import Source
from headstock.equipment.loose_gear import LooseGear
from headstock.equipment.unit_type import UnitType
from headstock.usecases.answers_as_data.fleet import running_lines, said_of


@dataclass(frozen=True, slots=True)
class PartWords:
    """A part: its name, its data, the key of its source."""

    name: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class TypeWords:
    """Everything that a type's file says, by where it is."""

    ends: Mapping[str, tuple[PartWords, ...]]
    vehicles: tuple[PartWords, ...]
    unit: tuple[PartWords, ...]
    running: tuple[str, ...]
    gear: tuple[str, ...]
    declared: tuple[PartWords, ...]
    sources: Mapping[str, Source]


def type_words(unit_type: UnitType) -> TypeWords:
    """The words of a type."""
    return TypeWords(
        ends={end: tuple(_parts(unit_type.ends[end].devices)) for end in ("1", "2")},
        vehicles=tuple(_vehicles(unit_type)), unit=tuple(_parts(unit_type.devices)), running=tuple(running_lines(unit_type)),
        gear=tuple(_gear(gear) for gear in unit_type.loose_gear),
        declared=tuple(PartWords(f"with {one.with_type}", f"{one.level}, {one.document}", one.source)
                       for one in unit_type.declared),
        sources=unit_type.sources,
    )  # fmt: skip


def _parts(devices: Mapping[str, Any]) -> Iterator[PartWords]:
    for name, spec in devices.items():
        yield PartWords(name.replace("_", " "), said_of(spec.model_dump(mode="json", exclude={"source"})), spec.source)


def _vehicles(unit_type: UnitType) -> Iterator[PartWords]:
    for vehicle in unit_type.vehicles:
        size = f"{vehicle.mass_t:g} t, {vehicle.length_m:g} m, {vehicle.axles} axles"
        yield PartWords(f"vehicle {vehicle.suffix}", size, vehicle.source)
        for part in _parts(vehicle.devices):
            yield PartWords(f"vehicle {vehicle.suffix}, {part.name}", part.says, part.source)


def _gear(gear: LooseGear) -> str:
    joins = f" {' to '.join(gear.faces)}" if gear.faces else ""
    return f"{gear.kind}{joins}, {gear.stowed}"
