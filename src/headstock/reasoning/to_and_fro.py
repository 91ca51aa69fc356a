"""Variables that must come back to a value they had: what landmarks are told apart by."""

from __future__ import annotations

from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task
from headstock.reasoning.step_forms import bits_of


def to_and_fro(task: Task, domain: Domain, needed: int) -> list[str]:
    """Variables that some needed step or the goal wants as they are at the start, and another otherwise."""
    wanted: dict[str, set[str]] = {}
    passed: dict[str, set[str]] = {}
    for key, value in domain.goal:
        wanted.setdefault(key, set()).add(value)
        passed.setdefault(key, set()).add(value)
    for number in bits_of(needed):
        step = task.steps[number]
        touched = dict(step.effects)
        for key, value in step.needs:
            passed.setdefault(key, set()).add(value)
            if key not in touched:
                wanted.setdefault(key, set()).add(value)
        for key, value in step.effects:
            passed.setdefault(key, set()).add(value)
    return [
        key for key in domain.variables if domain.start[key] in wanted.get(key, ()) and len(passed.get(key, ())) > 1
    ]
