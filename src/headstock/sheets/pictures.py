"""Drawings for the sheet, from the model: the train from the side as found, both ends as one stands in front."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from headstock.formation.end_drawing import end_marks
from headstock.formation.train import TrainUnit, UnitEnd
from headstock.formation.train_state import TrainState
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.sheets.content import EndPicture, TrainDrawing, VehicleDrawing


def train_drawing(task: AttachTask, domain: Domain) -> TrainDrawing:
    """The train from the side, with the holds that the job uses."""
    place = task.place
    first, second = place.directions
    leaves_first = task.leaves_from == task.train.outer_ends[0]
    high = "" if not place.slope else ("left" if place.falls_towards == second else "right")
    falls = f"falls {place.gradient}"
    left = [first, "leaves this way" if leaves_first else "", falls if high == "right" else ""]
    right = [second, "" if leaves_first else "leaves this way", falls if high == "left" else ""]
    portions = task.train.portions()
    return TrainDrawing(
        portions=tuple(tuple(v for unit in units for v in _vehicles(unit, task)) for units in portions),
        has_main_reservoir_pipe=tuple(_is_two_pipe(units[0]) for units in portions),
        high_end=high,
        left_label=", ".join(word for word in left if word),
        middle_label=f"joint at {task.train.joint_to_make}",
        right_label=", ".join(word for word in right if word),
    )


def _is_two_pipe(unit: TrainUnit) -> bool:
    return any(spec.kind == "hose" and spec.pipe == "main reservoir pipe"  # type: ignore[attr-defined]
               for spec in unit.end_spec("1").devices.values())  # fmt: skip


def _vehicles(unit: TrainUnit, task: AttachTask) -> list[VehicleDrawing]:
    lengths = {vehicle.suffix: vehicle.length_m for vehicle in unit.unit_type.vehicles}
    holding = {key for facts in task.holds.values() for key in facts.brakes}
    order = unit.vehicle_suffixes
    drawn = []
    for number, suffix in enumerate(order):
        left = number == 0 and unit.end_spec(unit.first_end).has_cab
        right = number == len(order) - 1 and unit.end_spec("2" if unit.first_end == "1" else "1").has_cab
        name = unit.vehicle_name(suffix)
        drawn.append(VehicleDrawing(name, left, right, lengths[suffix], _hold_mark(unit, suffix, holding), True))
    return drawn


def _hold_mark(unit: TrainUnit, suffix: str, holding: set[str]) -> str:
    """H where a hand brake holds in this job, P where the parking brake does."""
    for vehicle in unit.unit_type.vehicles:
        if vehicle.suffix == suffix and any(f"{unit.name}{suffix}.{name}" in holding for name in vehicle.devices):
            return "H"
    for name, spec in unit.unit_type.devices.items():
        if f"{unit.name}.{name}" in holding and suffix in getattr(spec, "vehicles", ()):
            return "P"
    return ""


def end_pictures(task: AttachTask, found: TrainState, steps: Sequence[Step]) -> tuple[EndPicture, ...]:
    """Both ends at the joint as they must stand when the approach begins."""
    state = _state_before_approach(found, steps).named()
    return tuple(_picture(task, end, state) for end in (task.train.joint_to_make.first, task.train.joint_to_make.second))


def _state_before_approach(found: TrainState, steps: Sequence[Step]) -> TrainState:
    state = found
    for step in steps:
        if step.phase == "approach":
            break
        state = state.after(dict(step.effects))
    return state


def _picture(task: AttachTask, end: UnitEnd, state: Mapping[str, str]) -> EndPicture:
    unit = task.train.unit(end.unit)
    vehicle = unit.vehicle_name(unit.end_spec(end.end).vehicle)
    marks = end_marks(dict(task.train.end_devices(end)), state)
    return EndPicture(f"{vehicle}, end {end.end} of {end.unit}", _caption(task, end, state), marks)


def _caption(task: AttachTask, end: UnitEnd, state: Mapping[str, str]) -> str:
    """What one must see, in words."""
    said = []
    for at, spec in task.train.end_devices(end):
        if spec.kind == "drop-head knuckle":
            said.append(f"Head {state[at.key('head')]}, pin {state[at.key('pin')]}, keeper {state[at.key('keeper')]}")
            said.append(f"knuckle {state[at.key('jaw')]}")
        elif spec.kind == "lamp" and state[at.key()] == "lit":
            said.append(f"{spec.shows} lamp lit until coupled")
    return ", ".join(said) + ". All else stowed."
