"""Mistakes of colleagues played by the computer: a line left out, its words not said, a look that was none.

Whoever does not really look takes what should be seen for seen, rests on it, and passes it on as a word like any other.
"""

from __future__ import annotations

from dataclasses import replace

from headstock.base.errors import Fault, InputError
from headstock.practice.acting import begin
from headstock.practice.exercise import LapseKind
from headstock.practice.sitting import Sitting
from headstock.reasoning.step import Step

NOT_LOOKED: LapseKind = "not really looked"


def why_not(step: Step, kind: LapseKind) -> str:
    """At which lines this mistake can be made, in words; nothing where it can be at this one."""
    if kind == NOT_LOOKED:
        return "" if step.shows else "a line at which something is looked at"
    is_word = bool(step.tells) and step.place is None
    return "a line that is said and nothing else" if kind == "not said" and not is_word else ""


def overlook(sitting: Sitting, step: Step) -> Sitting:
    """A colleague sets about a step without really looking."""
    run = sitting.run.copy()
    for fact in step.shows:
        run.learn(step.role, fact)
    sitting = replace(sitting, run=run).noted(step.role, "slip", f"{step.key}: {NOT_LOOKED}", about=step.key)
    return begin(sitting, replace(step, shows=()))


def check_overlooked(sitting: Sitting, step: Step) -> None:
    """Raises InputError for a role that a person has, and where there is nothing to look at."""
    if sitting.is_played(step.role):
        raise InputError(Fault("a person has this role, and makes mistakes without help", path="role", found=step.role))
    if why := why_not(step, NOT_LOOKED):
        raise InputError(Fault("nothing to overlook", path="step", found=step.key, expected=why))
