"""A planning task as PDDL 2.1 (negative preconditions, numeric total-cost), for planners that know nothing of ours.

One grounded action for each place a step's role may come from. Costs are whole milliseconds, since most planners that prove
an order the cheapest count in integers. Rules over states are not written: an order that the checker holds meets them, so a
cheapest order without them that costs as much proves it the cheapest with them. Source of the language: Fox and Long 2003.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from headstock.reasoning.domain import Domain
from headstock.reasoning.grounding import Action, Atom, Grounding
from headstock.reasoning.step import Step

UNITS_PER_S = 1000
_KINDS = ("thing", "value", "role", "place")


class _Names:
    """Names that PDDL allows, each given once, with the thing it stands for."""

    def __init__(self) -> None:
        self._given: dict[tuple[str, str], str] = {}
        self._taken = {"is", "at", "knows", "object", "total-cost", *_KINDS}

    def of(self, kind: str, raw: str) -> str:
        """The name of a thing of a kind."""
        if (kind, raw) not in self._given:
            plain = re.sub(r"[^a-z0-9_]+", "-", raw.lower()).strip("-_") or "x"
            first = plain if plain[0].isalpha() else f"n{plain}"
            name, number = first, 1
            while name in self._taken:
                number += 1
                name = f"{first}-{number}"
            self._taken.add(name)
            self._given[(kind, raw)] = name
        return self._given[(kind, raw)]

    def all_of(self, kind: str) -> list[str]:
        """All names of a kind, in the order in which they were given."""
        return [name for (one, _), name in self._given.items() if one == kind]


class PddlTask:
    """The two files of one planning task. ``steps`` maps an action's name to its step; ``costs`` to its cost in the files.

    Raises ValueError for two steps of one role and name: an order could not say which is meant.
    """

    def __init__(self, domain: Domain, name: str) -> None:
        self._names = _Names()
        self.name = self._names.of("task", name)
        self.steps: dict[str, Step] = {}
        self.costs: dict[str, int] = {}
        grounding = Grounding(domain)
        self._actions = [self._action(action) for action in grounding.actions]
        self._start, self._goal = self._atoms(grounding.start()), self._atoms(grounding.goal())

    def domain_text(self) -> str:
        """The domain: things, predicates, actions."""
        things = ((kind, self._names.all_of(kind)) for kind in _KINDS)
        constants = "".join(f"\n    {' '.join(names)} - {kind}" for kind, names in things if names)
        return (
            f"(define (domain {self.name})\n"
            "  (:requirements :strips :typing :negative-preconditions :action-costs)\n"
            "  (:types thing value role place - object)\n"
            f"  (:constants{constants})\n"
            "  (:predicates (is ?t - thing ?v - value) (at ?r - role ?p - place) (knows ?r - role ?t - thing ?v - value))\n"
            "  (:functions (total-cost) - number)\n" + "".join(self._actions) + ")\n"
        )

    def problem_text(self) -> str:
        """The problem: as found, and the end state."""
        start, goal = ("".join(f"\n    {atom}" for atom in atoms) for atoms in (self._start, self._goal))
        return (
            f"(define (problem {self.name}-job)\n  (:domain {self.name})\n  (:init{start}\n    (= (total-cost) 0))\n"
            f"  (:goal (and{goal}))\n  (:metric minimize (total-cost)))\n"
        )

    def _atom(self, atom: Atom) -> str:
        names, (key, value) = self._names, atom
        if not isinstance(value, str):
            return f"(knows {names.of('role', key)} {names.of('thing', value[0])} {names.of('value', value[1])})"
        if key.startswith("at/"):
            return f"(at {names.of('role', key.removeprefix('at/'))} {names.of('place', value)})"
        return f"(is {names.of('thing', key)} {names.of('value', value)})"

    def _atoms(self, atoms: Iterable[Atom]) -> list[str]:
        return [self._atom(atom) for atom in atoms]

    def _action(self, action: Action) -> str:
        step, origin = action.step, f" from {action.origin}" if action.origin else ""
        name = self._names.of("action", f"{step.role} {step.key}{origin}")
        if self.steps.get(name, step) != step:
            raise ValueError(f"two steps of one name: {step.role}, {step.key}")
        self.steps[name], self.costs[name] = step, round(UNITS_PER_S * action.cost_s)
        effects = [*(f"(not {atom})" for atom in self._atoms(action.losses)), *self._atoms(action.gains)]
        return (
            f"  (:action {name}\n    :parameters ()\n    :precondition (and {' '.join(self._atoms(action.needs))})\n"
            f"    :effect (and {' '.join(effects)} (increase (total-cost) {self.costs[name]})))\n"
        )
