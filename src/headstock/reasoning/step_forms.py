"""Steps as masks of facts, with where people stand: what an analysis over pairs of facts works on."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task


@dataclass(slots=True)
class StepForms:
    """For each step of a task what it needs, gains and loses, as masks over ``facts`` facts.

    The facts are those of the task and, for each role that may enter a closed place, that it is out of there: a step in
    an open place needs that, since one walks only between open places.
    """

    facts: int
    start: int
    goal: int
    need: list[int]
    gain: list[int]
    lose: list[int]
    others: list[int]
    """For each fact of the task the other values of its variable."""
    stated: int = 0
    """So many facts came first; those after them say that a value is absent."""


def step_forms(task: Task, domain: Domain) -> StepForms:
    """The forms of all steps."""
    stands: dict[str, int] = {}
    for name, bit in task.bits.items():
        if isinstance(name[1], str) and name[0].startswith("at/"):
            stands[name[0]] = stands.get(name[0], 0) | 1 << bit
    enters = sorted({step.role for step in task.steps if step.goes_to and domain.places[step.goes_to].closed})
    out = {role: 1 << len(task.bits) + number for number, role in enumerate(enters)}
    forms = StepForms(len(task.bits) + len(out), task.start, task.goal, [], [], [], _others(task))
    for role, bit in out.items():
        if any(_is_open(name, domain) for name, b in task.bits.items() if name[0] == place_key(role) and task.start >> b & 1):
            forms.start |= bit
    for number, step in enumerate(task.steps):
        need, gain, lose = task.step_need[number], task.step_gain[number], task.step_lose[number]
        if step.place is not None:
            key, ends_at = place_key(step.role), step.goes_to or step.place
            gain |= 1 << task.bits[(key, ends_at)]
            lose |= stands[key]
            if step.role in out:
                need |= 0 if domain.places[step.place].closed else out[step.role]
                if domain.places[ends_at].closed:
                    lose |= out[step.role]
                else:
                    gain |= out[step.role]
        forms.need.append(need)
        forms.gain.append(gain)
        forms.lose.append(lose & ~gain)
    return forms


def _others(task: Task) -> list[int]:
    whole: dict[str, int] = {}
    for name, bit in task.bits.items():
        if isinstance(name[1], str):
            whole[name[0]] = whole.get(name[0], 0) | 1 << bit
    return [whole.get(name[0], 0) & ~(1 << bit) if isinstance(name[1], str) else 0
            for name, bit in sorted(task.bits.items(), key=lambda one: one[1])]  # fmt: skip


def add_absences(forms: StepForms, variables: list[list[int]]) -> list[list[int]]:
    """Facts that say that a variable (its facts, one of which always holds) has not this value; where it has three or more.

    A step loses a value by giving another one. For each new fact the facts of which one holds with it are returned.
    """
    stands_for: list[list[int]] = []
    forms.stated = forms.facts
    for values in variables:
        whole = sum(1 << value for value in values)
        for value in values if len(values) > 2 else ():
            absent, one = 1 << forms.facts, 1 << value
            forms.facts += 1
            stands_for.append([other for other in values if other != value])
            forms.start |= 0 if forms.start & one else absent
            forms.goal |= absent if forms.goal & whole & ~one else 0
            for step in range(len(forms.need)):
                need, gain, lose = forms.need[step], forms.gain[step], forms.lose[step]
                forms.need[step] |= absent if need & whole & ~one else 0
                forms.gain[step] |= absent if lose & one else 0
                forms.lose[step] |= absent if gain & one else 0
    return stands_for


def _is_open(name: tuple[str, object], domain: Domain) -> bool:
    return isinstance(name[1], str) and not domain.places[name[1]].closed
