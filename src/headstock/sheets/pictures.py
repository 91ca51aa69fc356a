"""Drawings for the sheet, from the model: the train from the side as found, both ends as one stands in front."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from headstock.devices.registry import kind_of
from headstock.devices.scene import pipe_key
from headstock.formation.end_drawing import end_marks
from headstock.formation.train import TrainUnit, UnitEnd
from headstock.formation.train_state import TrainState
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.sheets.content import EndPicture, TrainDrawing, VehicleDrawing

NOT_STOWED = "Not stowed"


def train_drawing(task: AttachTask) -> TrainDrawing:
    """The train from the side as found, with the holds that the job uses."""
    place = task.place
    first, second = place.directions
    leaves_first = task.leaves_from == task.train.outer_ends[0]
    high = "" if not place.slope else ("left" if place.falls_towards == second else "right")
    falls = f"falls {place.gradient}"
    left = [first, "leaves this way" if leaves_first else "", falls if high == "right" else ""]
    right = [second, "" if leaves_first else "leaves this way", falls if high == "left" else ""]
    portions = task.train.portions()
    drawn = tuple(tuple(v for unit in units for v in _vehicles(unit, task)) for units in portions)
    return TrainDrawing(
        portions=drawn,
        has_main_reservoir_pipe=tuple(_is_two_pipe(units[0]) for units in portions),
        high_end=high,
        left_label=", ".join(word for word in left if word),
        middle_label=f"joint at {task.train.joint_to_make}",
        right_label=", ".join(word for word in right if word),
        holds_note=_holds_note([vehicle for portion in drawn for vehicle in portion if vehicle.hold]),
    )


def _holds_note(holding: Sequence[VehicleDrawing]) -> str:
    """What the letters on the vehicles mean, and their two looks where both are there."""
    names = {"H": "hand brake", "P": "parking brake"}
    letters = ", ".join(f"{letter} {names[letter]}" for letter in sorted({vehicle.hold for vehicle in holding}))
    looks = {True: "filled: on as found", False: "ring: to put on"}
    said = ", ".join(words for is_on, words in looks.items() if any(vehicle.hold_on == is_on for vehicle in holding))
    return f"{letters} ({said})" if letters else ""


def _is_two_pipe(unit: TrainUnit) -> bool:
    return any(spec.kind == "hose" and spec.pipe == "main reservoir pipe"  # type: ignore[attr-defined]
               for spec in unit.end_spec("1").devices.values())  # fmt: skip


def _vehicles(unit: TrainUnit, task: AttachTask) -> list[VehicleDrawing]:
    lengths = {vehicle.suffix: vehicle.length_m for vehicle in unit.unit_type.vehicles}
    order = unit.vehicle_suffixes
    portion = task.moving if unit in task.moving_units else task.standing
    applied = task.as_found[pipe_key(portion)] != "charged"
    drawn = []
    for number, suffix in enumerate(order):
        left = number == 0 and unit.end_spec(unit.first_end).has_cab
        right = number == len(order) - 1 and unit.end_spec("2" if unit.first_end == "1" else "1").has_cab
        name = unit.vehicle_name(suffix)
        letter, key = _hold_mark(task, unit, suffix)
        drawn.append(VehicleDrawing(name, left, right, lengths[suffix], letter, _is_on(task, name, letter, key), applied))
    return drawn


def _is_on(task: AttachTask, vehicle: str, letter: str, key: str) -> bool:
    """Whether a brake is found on; with its springs released by hand a parking brake is not, however its handle stands."""
    released = task.rescued is not None and letter == "P" and any(at.where == vehicle for at in task.rescued.by_hand)
    return task.as_found.get(key) == "on" and not released


def _hold_mark(task: AttachTask, unit: TrainUnit, suffix: str) -> tuple[str, str]:
    """H where a hand brake holds in this job, P where the parking brake does, with the brake's key."""
    holding = {key for facts in task.holds.values() for key in facts.brakes}
    used = [(at, spec) for at, spec in task.train.devices() if at.unit == unit.name and at.key() in holding]
    for at, spec in used:
        if spec.kind == "hand brake" and at.vehicle == unit.vehicle_name(suffix):
            return "H", at.key()
    for at, spec in used:
        if spec.kind == "parking brake" and suffix in spec.vehicles:
            return "P", at.key()
    return "", ""


def end_pictures(task: AttachTask, found: TrainState, steps: Sequence[Step]) -> tuple[EndPicture, ...]:
    """Both ends at the joint as they must stand when the approach begins, after parting as they must stand at the end."""
    state = _state_before_approach(found, steps).named()
    return tuple(_picture(task, end, state) for end in (task.train.joint_to_make.first, task.train.joint_to_make.second))


def done_picture(task: AttachTask, found: TrainState, steps: Sequence[Step]) -> EndPicture:
    """The moving portion's end at the joint as it must stand when all is done."""
    state = found
    for step in steps:
        state = state.after(dict(step.effects))
    return _picture(task, task.near, state.named(), rest_is="At the joint" if not task.parts else NOT_STOWED)


def _state_before_approach(found: TrainState, steps: Sequence[Step]) -> TrainState:
    state = found
    for step in steps:
        if step.phase == "approach":
            break
        state = state.after(dict(step.effects))
    return state


def _picture(task: AttachTask, end: UnitEnd, state: Mapping[str, str], rest_is: str = NOT_STOWED) -> EndPicture:
    unit = task.train.unit(end.unit)
    vehicle = unit.vehicle_name(unit.end_spec(end.end).vehicle)
    marks = end_marks(dict(task.train.end_devices(end)), state)
    return EndPicture(f"{vehicle}, end {end.end} of {end.unit}", _caption(task, end, state, rest_is), marks)


def _caption(task: AttachTask, end: UnitEnd, state: Mapping[str, str], rest_is: str) -> str:
    """What one must see, in words."""
    said, others = [], []
    if task.adapter is not None and task.adapter.hangs_on == str(end) and state[task.adapter.key] == "hung":
        said.append("Adapter hung on it, pin home, keeper in")
    for at, spec in task.train.end_devices(end):
        if spec.kind == "drop-head knuckle":
            said.append(f"Head {state[at.key('head')]}, pin {state[at.key('pin')]}, keeper {state[at.key('keeper')]}")
            said.append(f"knuckle {state[at.key('jaw')]}")
        elif spec.kind == "lamp" and state[at.key()] == "lit":
            said.append(f"{spec.shows} lamp lit" if task.parts else f"{spec.shows} lamp lit until coupled")
        elif spec.kind != "lamp":
            others += [fact for fact in kind_of(spec).end_state(at, spec, "rear", False) if state[fact[0]] != fact[1]]
    rest = ", ".join(f"{_device_words(key)} {state[key]}" for key, _ in others)
    words = ", ".join(said)
    stowed = f"{rest_is}: {rest}." if rest else "All else stowed."
    return f"{words[0].upper()}{words[1:]}. {stowed}" if words else stowed


def _device_words(key: str) -> str:
    """A device's name in its file, as words."""
    return key.partition(".")[2].replace("_", " ").replace(".", " ")
