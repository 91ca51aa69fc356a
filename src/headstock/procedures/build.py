"""Small makers of steps: a device's act becomes a step when the local rules say who does it and how long it may take."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.kind import Act
from headstock.formation.train import UnitEnd
from headstock.procedures.places import BETWEEN, JOINT, before, cab
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def step_of(task: AttachTask, act: Act, role: str, place: str | None, needs: tuple[Fact, ...] = ()) -> Step:
    """The step for an act done by a role at a place, with further needs."""
    return Step(
        key=act.key, role=role, place=place, needs=(*act.needs, *needs), effects=act.effects, knows=act.knows,
        shows=act.shows, duration_s=task.rules.allowance_s(act.allowance), phase=act.phase, order=act.order,
        brief=act.brief, caution=act.caution,
    )  # fmt: skip


def joint_end_step(task: AttachTask, act: Act) -> Step:
    """An act at one of the ends of the joint: done between, protected."""
    return step_of(task, act, task.role_for("goes_between"), BETWEEN)


def outer_end_step(task: AttachTask, act: Act, end: UnitEnd, holds: tuple[Fact, ...]) -> Step:
    """An act at an outer end: done on the ground before it, with the train held without air."""
    duty = "dresses_front" if end == task.leaves_from else "dresses_rear"
    made = step_of(task, act, task.role_for(duty), before(end), holds)
    return replace(made, phase="ends")


def joint_step(task: AttachTask, act: Act) -> Step:
    """An act for the whole joint that is done standing clear of it, by whoever is in charge."""
    return step_of(task, act, task.role_for("in_charge"), JOINT)


def driving_step(task: AttachTask, act: Act) -> Step:
    """An act of the driver who moves the portion."""
    return step_of(task, act, task.role_for("drives"), cab(task.driven_from))
