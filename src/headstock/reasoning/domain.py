"""A planning task: variables, people, places, steps, start and goal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from headstock.reasoning.constraint import Constraint
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact, Variable


@dataclass(frozen=True, slots=True)
class Place:
    """Where a role can stand: metres along a line, seconds to get in or out; closed places are entered by a step only."""

    key: str
    label: str
    position_m: float
    climb_s: float = 0.0
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Window:
    """A stay in a closed place: the steps that open it and close it, and the fact that must hold while it is shut.

    Steps are given in groups of which a stay takes one each.
    """

    role: str
    inside: str
    opened_by: tuple[tuple[str, ...], ...]
    closed_by: tuple[tuple[str, ...], ...]
    shut: Fact


@dataclass(frozen=True, slots=True)
class Domain:
    """Everything a planner or a checker needs to know, and nothing about how either works.

    ``voids`` maps a variable key to the fact that any touch of it sets (a passed test is void when its path is touched).
    ``customary`` ranks variable keys: of steps of one phase whose order is free, those that touch a lower one come first;
    ``start_knows`` is what people know at the start, where the start is a point on the way.
    """

    variables: Mapping[str, Variable]
    places: Mapping[str, Place]
    people: Mapping[str, str]
    steps: tuple[Step, ...]
    constraints: tuple[Constraint, ...]
    start: Mapping[str, str]
    goal: tuple[Fact, ...]
    goal_knows: tuple[tuple[str, Fact], ...] = ()
    walking_m_s: float = 1.2
    phases: tuple[str, ...] = ()
    voids: Mapping[str, Fact] = field(default_factory=dict)
    windows: tuple[Window, ...] = ()
    customary: Mapping[str, int] = field(default_factory=dict)
    start_knows: tuple[tuple[str, Fact], ...] = ()

    def owns(self, step: Step) -> bool:
        """Whether a step is one of this domain's own, whole and unchanged."""
        return any(step is own or (step.key == own.key and step == own) for own in self.steps)

    def walk_s(self, origin: str, target: str) -> float | None:
        """Seconds from one place to another; None where only a step of its own leads."""
        if origin == target:
            return 0.0
        here, there = self.places[origin], self.places[target]
        if here.closed or there.closed:
            return None
        return abs(here.position_m - there.position_m) / self.walking_m_s + here.climb_s + there.climb_s
