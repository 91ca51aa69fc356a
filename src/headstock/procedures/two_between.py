"""Two people between: each with an own protection, given back by that person alone; nothing moves before both are out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from headstock.procedures.places import BETWEEN
from headstock.procedures.scene_variables import protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import second_between
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def nobody_between(task: AttachTask, facts: Iterable[Fact]) -> tuple[Fact, ...]:
    """The same facts; where the first one is out, the second is too."""
    found = tuple(facts)
    second, out = second_between(task), (protection_key(task.role_for("goes_between")), "none")
    return (*found, (protection_key(second), "none")) if second is not None and out in found else found


def second_is_out(task: AttachTask) -> tuple[tuple[str, Fact], ...]:
    """What the driver knows at the start of a second person: not between before ever having gone there."""
    second = second_between(task)
    return () if second is None else ((task.role_for("drives"), (protection_key(second), "none")),)


def with_second(task: AttachTask, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """All steps with a second person between: what waits for one waits for both, and the jumpers may be the second's work."""
    second = second_between(task)
    if second is None:
        return steps
    first = task.role_for("goes_between")
    cables = _cables(task) if task.rules.duties.handles_jumpers is not None else frozenset()

    def made(step: Step) -> Step:
        gives = any(key == protection_key(first) for key, _ in step.effects)
        if not gives:
            step = replace(step, needs=nobody_between(task, step.needs), knows=nobody_between(task, step.knows))
        touched = {key for key, _ in (*step.effects, *step.shows)}
        return replace(step, role=second) if step.place == BETWEEN and touched & cables else step

    return tuple(made(step) for step in steps)


def cable_owners(task: AttachTask) -> dict[str, str]:
    """The second person for the jumpers at the joint, where they are that person's work."""
    second = second_between(task)
    return dict.fromkeys(_cables(task), second) if second and task.rules.duties.handles_jumpers is not None else {}


def _cables(task: AttachTask) -> frozenset[str]:
    ends = (task.near, task.far)
    return frozenset(at.key() for end in ends for at, spec in task.train.end_devices(end) if spec.kind == "jumper")
