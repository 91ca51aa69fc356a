"""Where people stand during a job: cabs, beside the train, clear of the joint, between the ends."""

from __future__ import annotations

from headstock.formation.train import UnitEnd
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Place

JOINT = "joint"
BETWEEN = "between"


def cab(end: UnitEnd) -> str:
    """Place key of a cab."""
    return f"cab {end}"


def before(end: UnitEnd) -> str:
    """Place key of the ground before an outer end."""
    return f"before {end}"


def beside(name: str) -> str:
    """Place key beside a unit or a vehicle."""
    return f"beside {name}"


def places_of(task: AttachTask) -> dict[str, Place]:
    """All places of a job with their metres along the train as it will stand."""
    train, climb_s = task.train, task.rules.climb_s.value
    joint_m = train.end_position_m(task.near)
    found = [Place(JOINT, "clear of the joint", joint_m), Place(BETWEEN, "between the ends", joint_m, closed=True)]
    for unit in train.units:
        middle = train.start_m(unit.name) + unit.unit_type.length_m / 2
        found.append(Place(beside(unit.name), f"beside {unit.name}", middle))
        for vehicle in unit.unit_type.vehicles:
            name = unit.vehicle_name(vehicle.suffix)
            found.append(Place(beside(name), f"at {name}", train.vehicle_position_m(unit.name, vehicle.suffix)))
        for number in ("1", "2"):
            end = UnitEnd(unit.name, number)
            if unit.end_spec(number).has_cab:
                found.append(Place(cab(end), f"in cab {end}", train.end_position_m(end), climb_s))
    for end in dict.fromkeys((*train.outer_ends, *((task.near, task.far) if task.parts else ()))):
        found.append(Place(before(end), f"on the ground before {end}", train.end_position_m(end)))
    return {place.key: place for place in found}
