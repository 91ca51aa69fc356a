"""Work on hand and parking brakes: on and seen before they are relied on, off only on a brake that is in hand."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.kind import Act, At
from headstock.devices.main_reservoir import filled_key
from headstock.devices.scene import AIR_THROUGH, COUPLE, TEST, pipe_key
from headstock.formation.train import UnitEnd
from headstock.procedures.build import step_of
from headstock.procedures.cab_work import valve_key
from headstock.procedures.places import beside, cab
from headstock.procedures.scene_variables import AGREED, TESTED_HOLD
from headstock.procedures.task import AttachTask
from headstock.reasoning.constraint import place_key
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def hold_steps(task: AttachTask, act: Act) -> tuple[Step, ...]:
    """The steps of one act on a hand or parking brake that holds a portion in this job; what stays behind is never let off."""
    at = act.at
    if at is None:
        raise ValueError(f"{act.key} has no place")
    is_moving = at.unit in {unit.name for unit in task.moving_units}
    if not any(value == "off" for _, value in (*act.effects, *act.shows)):
        return (_applied(task, act, at, is_moving),)
    if task.parts and not is_moving:
        return ()
    made = [released(task, act, at, is_moving)]
    if is_moving and act.effects:
        made.append(_released_for_approach(task, act, at))
    return tuple(made)


def _made(task: AttachTask, act: Act, role: str, place: str) -> Step:
    made = step_of(task, act, role, place, ((AGREED, "yes"),))
    return replace(made, key=f"{act.key}, {place}") if place.startswith("cab") else made


def _applied(task: AttachTask, act: Act, at: At, is_moving: bool) -> Step:
    """On, or seen on: a parking brake from the portion's cab in use, a hand brake at its vehicle."""
    phase = "" if is_moving else act.phase
    if act.spot == "cab":
        role, end = applying_cab(task, at.unit, is_moving)
        return replace(_made(task, act, role, cab(end)), phase=phase)
    duty = "looks_at_holds" if act.duty == "looks at holds" else holder(is_moving)
    return replace(_made(task, act, task.role_for(duty), beside(at.where)), phase=phase)


def applying_cab(task: AttachTask, unit: str, is_moving: bool) -> tuple[str, UnitEnd]:
    """Who works a parking brake before the portions are one: the driver only from the cab he drives from."""
    if task.parts and task.is_alone and task.wires_through:  # one train in full multiple working: all from his own cab
        return task.role_for("drives"), task.driven_from
    if is_moving and unit in task.worked_from(task.driven_from):
        return task.role_for("drives"), task.driven_from
    if not is_moving and unit in task.worked_from(task.standing_cab):
        return task.role_for("works_standing_cab"), task.standing_cab
    return task.role_for(holder(is_moving)), UnitEnd(unit, "1")


def released(task: AttachTask, act: Act, at: At, is_moving: bool) -> Step:
    """Off at the end: on the tested brake, applied from the controlling cab."""
    if act.spot == "cab":
        role, end = releasing_cab(task, at.unit)
        made = _made(task, act, role, cab(end))
    else:
        made = _made(task, act, task.role_for(holder(is_moving)), beside(at.where))
    tested = (TEST, task.method.stages[-1].key)
    pipes = tuple((pipe_key(portion), "drawn") for portion in task.tested)
    braked = (
        tested,
        (valve_key(task, task.controls), "full"),
        *task.made_up,
        *pipes,
        (TESTED_HOLD, "yes"),
        _driver_at(task, task.controls),
    )
    heads = tuple((at.key(), "mated") for pair in task.mated for at, spec in pair if spec.kind == "electrical head")
    through = heads if task.is_alone and not task.parts else () if task.is_alone else _let_off_in_a_rescue(task, act, is_moving)
    return replace(made, needs=(*made.needs, *braked, *through), knows=(*made.knows, tested), phase="leave")


def _let_off_in_a_rescue(task: AttachTask, act: Act, is_moving: bool) -> tuple[Fact, ...]:
    """A hold of the dead portion comes off when each of its brakes was seen on again, springs with the other's air."""
    if task.rescue is None or is_moving or act.effects[:1] in [(fact,) for fact in task.rescue.brakes_seen_on]:
        return ()
    air = ((filled_key(task.standing), "filled"),) if act.spot == "cab" else ()
    return (*task.rescue.brakes_seen_on, *air)


def _released_for_approach(task: AttachTask, act: Act, at: At) -> Step:
    """Off for the approach: the driver at the brake of the moving portion, full application made."""
    driven = task.driven_from
    if act.spot == "cab":
        role, end = applying_cab(task, at.unit, True)
        made = _made(task, act, role, cab(end))
    else:
        made = _made(task, act, task.role_for(holder(True)), beside(at.where))
    braked: tuple[Fact, ...] = ((valve_key(task, driven), "full"), (pipe_key(task.moving), "drawn"))
    apart: tuple[Fact, ...] = ((AIR_THROUGH, "no"), (COUPLE, "apart"), _driver_at(task, driven))
    if task.parts:
        # Let off with the standing portion on its brakes and the driver's application in hand.
        apart = (*((key, "on") for key in task.holds[task.standing].brakes), _driver_at(task, driven))
    return replace(
        made,
        key=f"{made.key}, {'before the proof or a movement' if task.parts else 'for the approach'}",
        phase="hold" if task.parts else "approach",
        needs=(*made.needs, *braked, *apart),
    )


def _driver_at(task: AttachTask, end: UnitEnd) -> Fact:
    return place_key(task.role_for("drives")), cab(end)


def releasing_cab(task: AttachTask, unit: str) -> tuple[str, UnitEnd]:
    """Who releases a parking brake at the end, and where: the driver in the controlling cab, else who reads the rear."""
    if task.is_alone or unit in task.worked_from(task.controls):
        return task.role_for("drives"), task.controls
    if unit in task.worked_from(task.rear_cab):
        return task.role_for("reads_rear"), task.rear_cab
    return task.role_for("works_standing_cab"), UnitEnd(unit, "1")


def holder(is_moving: bool) -> str:
    """The duty of whoever works a portion's hand brakes."""
    return "holds_moving_portion" if is_moving else "holds_standing_portion"


def seen_before_left(task: AttachTask, step: Step) -> Step:
    """Where the local rules ask for it: what holds the moving portion is seen on before its driver works away from his brake."""
    rule, away = task.rules.holding.own_brakes_seen, step.place not in (None, cab(task.driven_from))
    on = tuple((key, "on") for key in task.holds[task.moving].brakes)
    if rule is None or not rule.value or not away or step.role != task.role_for("drives") or not set(on) <= set(step.needs):
        return step
    return replace(step, knows=tuple(dict.fromkeys((*step.knows, *on))))
