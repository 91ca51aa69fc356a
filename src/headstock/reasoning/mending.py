"""What would mend a hole: the facts it asks for, the steps that give them, the lines that took them away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.reasoning.amended import Line
from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import gains_of
from headstock.reasoning.run import Complaint, Run
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


@dataclass(frozen=True, slots=True)
class Wanted:
    """A fact of the world, or (with a role) that this role knows it."""

    fact: Fact
    role: str = ""


def wanted_by(hole: Complaint, after: Run) -> tuple[Wanted, ...]:
    """What the hole asks for: one fact, or for a broken constraint each single fact that would make it whole."""
    if hole.kind == "constraint":
        return tuple(Wanted(fact) for fact in mending_facts(hole.about, after))
    return (Wanted(hole.fact, hole.role),) if hole.fact is not None else ()


def mending_facts(constraint: str, run: Run) -> tuple[Fact, ...]:
    """Facts of which each alone, were it so, would make a broken constraint whole here."""
    judge = next(one.broken for one in run.domain.constraints if one.key == constraint)
    choices = {key: variable.domain for key, variable in run.domain.variables.items()}
    choices |= {place_key(role): tuple(run.domain.places) for role in run.domain.people}
    found = []
    for key, values in choices.items():
        now = run.state[key]
        for value in values:
            if value != now and judge({**run.state, key: value}) is None:
                found.append((key, value))
    return tuple(found)


class Givers:
    """For each fact, or knowledge of it, the steps of a domain that give it."""

    def __init__(self, domain: Domain) -> None:
        self.domain = domain
        self.table: dict[object, list[Step]] = {}
        for step in domain.steps:
            for gain in gains_of(step, domain):
                self.table.setdefault(gain, []).append(step)

    def of(self, wanted: Wanted) -> tuple[Step, ...]:
        """Steps that give what is wanted."""
        if wanted.role:
            return tuple(self.table.get((wanted.role, wanted.fact), ()))
        given = self.table.get(wanted.fact, [])
        return tuple(given) or self._ways_out(wanted.fact)

    def _ways_out(self, fact: Fact) -> tuple[Step, ...]:
        """To be at an open place one comes out into any open place, and walks."""
        places = self.domain.places
        if fact[1] not in places or places[fact[1]].closed:
            return ()
        return tuple(
            step for step in self.domain.steps
            if place_key(step.role) == fact[0] and step.goes_to and not places[step.goes_to].closed
        )  # fmt: skip


def to_blame(wanted: Wanted, earlier: Sequence[Line], domain: Domain) -> list[int]:
    """Numbers (0 is the first) of earlier lines that touched what is wanted, the last first."""
    key, value = wanted.fact
    found = []
    for number in range(len(earlier) - 1, -1, -1):
        step = earlier[number]
        if isinstance(step, str):
            continue
        changed = {k for k, v in step.effects if wanted.role or v != value}
        voided = {domain.voids[k][0] for k, _ in step.effects if k in domain.voids}
        went = place_key(step.role) == key and step.goes_to not in (None, value)
        if key in changed | voided or went:
            found.append(number)
    return found
