"""Small makers of steps: a device's act becomes a step when the local rules say who does it and how long it may take."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.kind import Act
from headstock.formation.train import UnitEnd
from headstock.procedures.places import BETWEEN, JOINT, before, beside, cab
from headstock.procedures.scene_variables import AGREED
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
    """An act at one of the ends of the joint: done between, protected; in its cab or at a stowage nobody is between."""
    between = task.role_for("goes_between")
    if act.at is not None and act.spot == "cab":
        end = UnitEnd(act.at.unit, act.at.end)
        return replace(step_of(task, act, _cab_worker(task, end), cab(end)), phase="make safe")
    if act.at is not None and act.spot == "beside":
        return replace(step_of(task, act, between, beside(act.at.unit), ((AGREED, "yes"),)), phase="ends")
    return step_of(task, act, between, BETWEEN)


def _cab_worker(task: AttachTask, end: UnitEnd) -> str:
    """Who is in a cab of the joint: the driver in his own, whoever works the standing cab in that, else who goes between."""
    if end == task.driven_from:
        return task.role_for("drives")
    return task.role_for("works_standing_cab" if end == task.standing_cab else "goes_between")


def outer_end_step(task: AttachTask, act: Act, end: UnitEnd, holds: tuple[Fact, ...]) -> Step:
    """An act at an outer end, with the train held without air: where its data say that one reaches it, as a rule the ground."""
    return replace(step_of(task, act, dresser(task, end), reached_from(act, end), holds), phase="ends")


def dresser(task: AttachTask, end: UnitEnd) -> str:
    """The role that sees to an outer end."""
    return task.role_for("dresses_front" if end == task.leaves_from else "dresses_rear")


def reached_from(act: Act, end: UnitEnd) -> str:
    """Where one stands for an act at an outer end: before it, in its cab, or at the stowage of what is carried there."""
    return {"cab": cab(end), "beside": beside(end.unit)}.get(act.spot, before(end))


def joint_step(task: AttachTask, act: Act) -> Step:
    """An act for the whole joint that is done standing clear of it, by whoever is in charge."""
    return step_of(task, act, task.role_for("in_charge"), JOINT)


def driving_step(task: AttachTask, act: Act) -> Step:
    """An act of the driver who moves the portion."""
    return step_of(task, act, task.role_for("drives"), cab(task.driven_from))
