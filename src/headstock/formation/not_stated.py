"""What a question needs and the unit types do not state. The question is then not answered; nothing is guessed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from headstock.formation.train import TrainUnit


def not_stated(units: Sequence[TrainUnit], needs: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """In words, for (type, what is missing) pairs, each once, in the order of the units."""
    order = list(dict.fromkeys(unit.unit_type.type for unit in units))
    found = sorted(dict.fromkeys(needs), key=lambda need: order.index(need[0]))
    return tuple(f"not stated for type {name}: {what}" for name, what in found)


def lacking_of_vehicles(units: Sequence[TrainUnit], *fields: str) -> tuple[str, ...]:
    """Fields of vehicles that are not stated."""
    return not_stated(
        units,
        (
            (unit.unit_type.type, f"{field} of vehicle {vehicle.suffix}")
            for unit in units
            for vehicle in unit.unit_type.vehicles
            for field in fields
            if getattr(vehicle, field) is None
        ),
    )


def lacking_of_units(units: Sequence[TrainUnit], *fields: str) -> tuple[str, ...]:
    """Fields of units that are not stated."""
    lacking = ((unit.unit_type.type, field) for unit in units for field in fields if getattr(unit.unit_type, field) is None)
    return not_stated(units, lacking)
