"""What a role can reach, read and see from where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.kind import At
from headstock.formation.train import UnitEnd
from headstock.practice.exercise import Exercise
from headstock.practice.sitting import Sitting
from headstock.procedures.places import BETWEEN, JOINT, before, beside, cab

IN_A_CAB = ("cab valve", "brake controller", "gauge")
ON_A_VEHICLE = ("hand brake", "distributor", "wired brake")


TAKES_TWO = ("joined", "entered", "latched", "mated")
"""States that a device has only together with another: they come by a step of the job."""


@dataclass(frozen=True, slots=True)
class Reach:
    """Keys of variables in reach; cabs whose gauges can be read; vehicles whose brake blocks can be looked at."""

    devices: tuple[str, ...]
    gauges: tuple[UnitEnd, ...]
    vehicles: tuple[str, ...]


def reach_of(sitting: Sitting, role: str) -> Reach:
    """From where a role stands."""
    return reach_from(sitting.exercise, sitting.place_of(role))


def reach_from(exercise: Exercise, place: str) -> Reach:
    """From a place; worked out once for each."""
    found = exercise.kept.get(("reach", place))
    if not isinstance(found, Reach):
        found = exercise.kept["reach", place] = _reach_from(exercise, place)
    return found


def _reach_from(exercise: Exercise, place: str) -> Reach:
    train, variables = exercise.task.train, exercise.domain.variables
    devices: list[str] = []
    for at, spec in train.devices():
        if _is_near(exercise, place, at, spec.kind):
            stem = at.key()
            own = (key for key, one in variables.items() if key == stem or key.startswith(f"{stem}."))
            devices += [key for key in own if variables[key].kind == "device"]
    ends = [UnitEnd(unit.name, number) for unit in train.units for number in ("1", "2")]
    gauges = tuple(end for end in ends if place == cab(end))
    vehicles = tuple(unit.vehicle_name(suffix) for unit in train.units for suffix in unit.vehicle_suffixes
                     if place in (beside(unit.vehicle_name(suffix)), beside(unit.name)))  # fmt: skip
    return Reach(tuple(dict.fromkeys(devices)), gauges, vehicles)


def _is_near(exercise: Exercise, place: str, at: At, kind: str) -> bool:
    task = exercise.task
    if at.end:
        end = UnitEnd(at.unit, at.end)
        if kind in IN_A_CAB or place == cab(end):
            return place == cab(end) and kind in (*IN_A_CAB, "lamp")
        if end in (task.near, task.far) and place == BETWEEN:
            return True
        return place == before(end) or (place == JOINT and kind == "lamp" and end in (task.near, task.far))
    if at.vehicle:
        return place == beside(at.vehicle)
    return place in (cab(UnitEnd(at.unit, "1")), cab(UnitEnd(at.unit, "2"))) or (
        kind in ON_A_VEHICLE and place.startswith("beside ") and place.removeprefix("beside ").startswith(at.unit)
    )
