"""What each kind of event does to a sitting."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.practice.acting import begin, finish, hear, least_s, settled
from headstock.practice.events import (
    Declared,
    Did,
    Ended,
    Event,
    Heard,
    MovementPassed,
    Overlooked,
    Planted,
    RoadAnswered,
    RoadAsked,
    Stopped,
    Took,
    Turned,
    Walked,
)
from headstock.practice.other_movements import answered, asked, is_kept_from, passed
from headstock.practice.reach import TAKES_TWO, reach_of
from headstock.practice.sitting import NoteKind, Sitting
from headstock.practice.slips import check_overlooked, overlook
from headstock.practice.stage_reading import judge_reading
from headstock.reasoning.constraint import place_key
from headstock.reasoning.step import Step


def happened(sitting: Sitting, event: Event) -> Sitting:
    """The sitting after an event at its own time. Raises InputError for one that nobody could mean."""
    return HAPPENINGS[type(event)](sitting, event)


def _took(sitting: Sitting, event: Took) -> Sitting:
    role = _role(sitting, event.role)
    return replace(sitting, people={**sitting.people, role: event.person})


def _walked(sitting: Sitting, event: Walked) -> Sitting:
    role, domain = _role(sitting, event.role), sitting.exercise.domain
    if event.place not in domain.places:
        raise InputError(Fault("no such place", path="place", found=event.place, expected=", ".join(domain.places),
                               nearest=nearest_of(event.place, domain.places)))  # fmt: skip
    here = sitting.place_of(role)
    if domain.walk_s(here, event.place) is None:
        return sitting.noted(role, "noticed", f"from {domain.places[here].label} one does not simply walk there")
    left = {name: doing for name, doing in sitting.doing.items() if name != role}
    run = sitting.run.copy()
    run.state[place_key(role)] = event.place
    return settled(replace(sitting, run=run, doing=left).noted(role, "went", f"now {domain.places[event.place].label}"))


def _did(sitting: Sitting, event: Did) -> Sitting:
    step = _step(sitting, event.role, event.step)
    return _not_now(sitting, step) or begin(sitting, step)


def _overlooked(sitting: Sitting, event: Overlooked) -> Sitting:
    step = _step(sitting, event.role, event.step)
    check_overlooked(sitting, step)
    return _not_now(sitting, step) or overlook(sitting, step)


def _not_now(sitting: Sitting, step: Step) -> Sitting | None:
    """Still at something else, not where it is done, or the road is another's."""
    if is_kept_from(sitting, step):
        return sitting.noted(step.role, "noticed", f"{step.key}: yard control: not yet, another movement is on it")
    if step.role in sitting.doing:
        return sitting.noted(step.role, "noticed", f"still at it: {sitting.doing[step.role].step.key}")
    if step.place is not None and sitting.place_of(step.role) != step.place:
        label = sitting.exercise.domain.places[step.place].label
        return sitting.noted(step.role, "noticed", f"{step.key}: that is done {label}")
    return None


def _ended(sitting: Sitting, event: Ended) -> Sitting:
    role = _role(sitting, event.role)
    doing = sitting.doing.get(role)
    if doing is None:
        raise InputError(Fault("nothing begun that could be ended", path="role", found=role))
    left = {name: one for name, one in sitting.doing.items() if name != role}
    lasted_s, least = sitting.t_s - doing.since_s, least_s(sitting, doing.step)
    sitting = replace(sitting, doing=left)
    if lasted_s < least - 1e-6:
        text = f"{doing.step.key}: ended after {lasted_s:.0f} s, not after {least:g} s"
        sitting = sitting.noted(role, "unsafe", text, about="too short")
    sitting = _pipe_missed(sitting, doing.step)
    judged = judge_reading(sitting, doing.step, event)
    return finish(judged.sitting, doing.step) if judged.goes_on else judged.sitting


def _pipe_missed(sitting: Sitting, step: Step) -> Sitting:
    """It was to bring a pipe to something, and did not."""
    for key, value in step.effects:
        if key.endswith(".brake_pipe") and sitting.air is not None and sitting.state[key] != value:
            text = f"{step.key}: ended before it was so: {sitting.run.say(key, value)}"
            sitting = sitting.noted(step.role, "unsafe", text, about=f"{key}={value}")
    return sitting


def _heard(sitting: Sitting, event: Heard) -> Sitting:
    role, step = _role(sitting, event.role), _step(sitting, event.speaker, event.step)
    if step.hearer != role:
        raise InputError(Fault("those words are for somebody else", path="role", found=role, expected=step.hearer or "nobody"))
    waiting = next((said for said in sitting.told if said.step.ident == step.ident), None)
    if waiting is not None:
        rest = tuple(said for said in sitting.told if said is not waiting)
        return hear(replace(sitting, told=rest), waiting).noted(role, "heard", step.key)
    # Spoken aloud and tapped by the hearer alone: said and heard in one.
    told = happened(sitting, Did(sitting.t_s, event.speaker, event.step))
    return _heard(told, event) if any(said.step.ident == step.ident for said in told.told) else told


def _turned(sitting: Sitting, event: Turned) -> Sitting:
    role = _role(sitting, event.role)
    variable = sitting.exercise.domain.variables.get(event.key)
    if variable is None or variable.kind != "device":
        known = [key for key, one in sitting.exercise.domain.variables.items() if one.kind == "device"]
        raise InputError(Fault("no such device", path="key", found=event.key, nearest=nearest_of(event.key, known)))
    if event.value not in variable.domain:
        raise InputError(Fault("not a state of it", path="value", found=event.value, expected=" or ".join(variable.domain)))
    if event.key not in reach_of(sitting, role).devices:
        return sitting.noted(role, "noticed", f"{variable.label}: out of reach from here")
    if event.value in TAKES_TWO:
        return sitting.noted(role, "noticed", f"{variable.label}: it is {event.value} only together with another")
    run = sitting.run.copy()
    run.carry_out(Step(f"set: {variable.say(event.value)}", role, None, effects=((event.key, event.value),)))
    return settled(replace(sitting, run=run).noted(role, "did", f"by hand: {variable.say(event.value)}"))


def _planted(sitting: Sitting, event: Planted) -> Sitting:
    variable = sitting.exercise.domain.variables.get(event.key)
    if variable is None or event.value not in variable.domain:
        raise InputError(Fault("nothing that could stand so", path="key", found=f"{event.key}={event.value}"))
    run = sitting.run.copy()
    run.state[event.key] = event.value
    planted = (*sitting.planted, (event.key, event.value))
    return settled(replace(sitting, run=run, planted=planted).noted("", "trainer", f"planted: {variable.say(event.value)}"))


def _declared(sitting: Sitting, event: Declared) -> Sitting:
    role = _role(sitting, event.role)
    if event.key:
        return _found(sitting, role, event.key)
    run = sitting.run.copy()
    count = len(run.complaints)
    run.judge_end(len(sitting.done) + 1)
    sitting = replace(sitting, run=run, is_over=True, is_declared_done=True)
    for complaint in run.complaints[count:]:
        sitting = sitting.noted(role, "end", complaint.text, complaint.hurts, complaint.about)
    return sitting.noted(role, "stopped", "says that the job is done")


def _found(sitting: Sitting, role: str, key: str) -> Sitting:
    """A device that somebody says is not as it should be."""
    exercise = sitting.exercise
    variables = exercise.domain.variables
    vehicles = {unit.vehicle_name(suffix) for unit in exercise.task.train.units for suffix in unit.vehicle_suffixes}
    known = (*variables, *vehicles, *(str(joint) for joint in exercise.task.train.joints))
    if key not in known:
        raise InputError(Fault("no such device or vehicle", path="key", found=key, nearest=nearest_of(key, known)))
    hidden = {one.key for one in exercise.hidden} | {one for one, _ in sitting.planted} | {one.place for one in exercise.faults}
    kind: NoteKind = "found" if key in hidden else "false find"
    label = variables[key].label if key in variables else f"the air at {key}"
    return sitting.noted(role, kind, f"says that it is not right: {label}", about=key)


def _stopped(sitting: Sitting, event: Stopped) -> Sitting:
    who = _role(sitting, event.role) if event.role else ""
    return replace(sitting, is_over=not event.role, doing={}).noted(who, "stopped", "stop called" if who else "sitting ended")


def _role(sitting: Sitting, role: str) -> str:
    if role not in sitting.exercise.roles:
        raise InputError(Fault("no such role", path="role", found=role, expected=", ".join(sitting.exercise.roles)))
    return role


def _step(sitting: Sitting, role: str, key: str) -> Step:
    found = sitting.exercise.steps.get((_role(sitting, role), key))
    if found is None:
        known = [step for who, step in sitting.exercise.steps if who == role]
        raise InputError(Fault(f"no step of the {role}", path="step", found=key, nearest=nearest_of(key, known)))
    return found


HAPPENINGS: dict[type[Event], Callable[[Sitting, Any], Sitting]] = {
    Took: _took, Walked: _walked, Did: _did, Overlooked: _overlooked, Ended: _ended, Heard: _heard, Turned: _turned,
    Planted: _planted, Declared: _declared, Stopped: _stopped,
    RoadAsked: asked, RoadAnswered: answered, MovementPassed: passed,
}  # fmt: skip
