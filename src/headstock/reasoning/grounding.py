"""A domain as plain actions over atoms, by the checker's meaning: no relevance, no masks, nothing of the search's compact form.

A touch ends what everybody knew of a thing, fresh knowledge ages, own hands tell of no sign, and what is told must be known.
It is what other planners are given, and what is explored to see that no rule can be broken.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

Known = tuple[str, Fact]
Atom = Fact | Known
"""A fact (places of people among them), or (role, fact) for somebody's knowledge of it."""


@dataclass(frozen=True, slots=True)
class Action:
    """A step taken from one place: what must be so, what comes, what goes, walking there [s]; ``origin`` is None for anywhere."""

    step: Step
    origin: str | None
    needs: tuple[Atom, ...]
    gains: tuple[Atom, ...]
    losses: tuple[Atom, ...]
    walk_s: float

    @property
    def cost_s(self) -> float:
        """Time, weight and walking [s]."""
        return self.step.duration_s + self.step.extra_cost_s + self.walk_s


class Grounding:
    """All actions of a domain. ``wanted`` is the knowledge that a step or the end asks for; other knowledge changes nothing."""

    def __init__(self, domain: Domain) -> None:
        self.domain = domain
        self.wanted = _wanted(domain)
        self._places = {role: _places_of(domain, role) for role in domain.people}
        self.actions = tuple(action for step in domain.steps for action in self._actions_of(step))

    def start(self) -> tuple[Atom, ...]:
        """What holds at the start."""
        people = ((place_key(role), place) for role, place in self.domain.people.items())
        known = (pair for pair in self.domain.start_knows if pair in self.wanted)
        return (*self.domain.start.items(), *people, *known)

    def goal(self) -> tuple[Atom, ...]:
        """What must hold at the end."""
        return (*self.domain.goal, *self.domain.goal_knows)

    def _actions_of(self, step: Step) -> Iterator[Action]:
        seen = (fact for fact in step.shows if fact not in step.effects)
        known = ((step.role, fact) for fact in (*step.knows, *_told_on(step)))
        needs: tuple[Atom, ...] = tuple(dict.fromkeys([*step.needs, *seen, *known]))
        gains, losses = self._changes(step)
        if step.place is None:
            yield Action(step, None, needs, gains, losses, 0.0)
            return
        at, end = place_key(step.role), step.goes_to or step.place
        for origin in self._places[step.role]:
            walk_s = self.domain.walk_s(origin, step.place)
            if walk_s is None:
                continue
            here: Atom = (at, origin)
            there: tuple[Atom, ...] = ((at, end),) if origin != end else ()
            yield Action(step, origin, (*needs, here), (*gains, *there), (*losses, here) if there else losses, walk_s)

    def _changes(self, step: Step) -> tuple[tuple[Atom, ...], tuple[Atom, ...]]:
        domain, touched = self.domain, dict(step.effects)
        for key in step.touched():
            void = domain.voids.get(key)
            if void is not None and void[0] not in step.touched():
                touched[void[0]] = void[1]
        gains: list[Atom] = [*touched.items()]
        gains += [known for known in self._learned(step) if known in self.wanted]
        lost: list[Atom] = [(key, other) for key, value in touched.items() for other in domain.variables[key].domain
                            if other != value]  # fmt: skip
        lost += [known for known in self.wanted if known[1][0] in touched or self._aged(step, known)]
        return tuple(dict.fromkeys(gains)), tuple(atom for atom in dict.fromkeys(lost) if atom not in gains)

    def _learned(self, step: Step) -> tuple[Known, ...]:
        own = (fact for fact in step.effects if not self.domain.variables[fact[0]].sign)
        return (*((step.role, fact) for fact in (*own, *step.shows)), *((step.hearer, fact) for fact in step.tells))

    def _aged(self, step: Step, known: Known) -> bool:
        if not self.domain.variables[known[1][0]].fresh:
            return False
        return step.ages == "everybody" or (step.ages == "self" and known[0] == step.role)


def _told_on(step: Step) -> tuple[Fact, ...]:
    """What is told must be known, unless it is seen or done in the same step."""
    return tuple(fact for fact in step.tells if fact not in step.shows and fact not in step.effects)


def _wanted(domain: Domain) -> tuple[Known, ...]:
    asked = ((step.role, fact) for step in domain.steps for fact in (*step.knows, *_told_on(step)))
    return tuple(dict.fromkeys((*asked, *domain.goal_knows)))


def _places_of(domain: Domain, role: str) -> tuple[str, ...]:
    """Where a role may ever stand."""
    found = {domain.people[role]}
    for step in domain.steps:
        if step.role == role and step.place is not None:
            found |= {step.place, step.goes_to or step.place}
    return tuple(sorted(found))
