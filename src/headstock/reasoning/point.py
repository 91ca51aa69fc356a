"""A point on the way through an order: how things stand there, who knows what, and what of it at first hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.run import Run
from headstock.reasoning.step import Step
from headstock.reasoning.telling import learned
from headstock.reasoning.variable import Fact


@dataclass(frozen=True, slots=True)
class Point:
    """After ``line`` lines (0: before the first): every variable, where people stand, (role, fact) for what is known.

    ``first_hand`` is that part of ``knows`` which the role saw or did itself: only that may be told on.
    """

    line: int
    state: Mapping[str, str]
    people: Mapping[str, str]
    knows: tuple[tuple[str, Fact], ...]
    first_hand: frozenset[tuple[str, Fact]]


def point_after(order: Sequence[Step], domain: Domain, line: int) -> Point:
    """Carry out the first lines of an order. Raises ValueError for a line that it has not."""
    if not 0 <= line <= len(order):
        raise ValueError(f"the order has lines 1 to {len(order)}, not {line}")
    run, own = Run.begin(domain), set(domain.start_knows)
    for number, step in enumerate(order[:line], start=1):
        run.follow(number, step)
        touched = set(step.touched())
        own = {pair for pair in own if pair[1][0] not in touched}
        own |= {(step.role, fact) for fact in learned(step, domain.variables)}
    known = run.known()
    people = {role: run.state[place_key(role)] for role in domain.people}
    state = {key: run.state[key] for key in domain.variables}
    return Point(line, state, people, tuple(sorted(known)), frozenset(own & set(known)))
