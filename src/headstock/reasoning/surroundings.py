"""What a domain does not say and mistakes need: what follows by itself, what people notice, what is like what.

All of it is data handed in. A toy may leave everything out: then nothing follows by itself, people notice only what they
have in hand, and nothing is like anything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from headstock.reasoning.constraint import Constraint
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

Ident = tuple[str, str]
"""Role and key of a step."""
Conditions = tuple[tuple[Fact, ...], ...]
"""All of these groups must be met, a group by any one of its facts."""


@dataclass(frozen=True, slots=True)
class Follows:
    """A fact that holds by itself whenever its conditions do; ``otherwise`` is its value when they do not (None: as it was)."""

    fact: Fact
    when: Conditions
    otherwise: str | None = None


@dataclass(frozen=True, slots=True)
class RestsOn:
    """An effect that comes true only when its conditions hold before the step; ``seen``: whoever tries sees if it did not."""

    fact: Fact
    on: Conditions
    seen: bool = False


@dataclass(frozen=True, slots=True)
class Fellow:
    """The same act on another thing of the same end, or on the same thing of another end."""

    kind: Literal["wrong object", "wrong end"]
    step: Step


@dataclass(frozen=True, slots=True)
class Surroundings:
    """How the world answers, and what people notice of it.

    ``follows`` are worked out after every step, in order. ``at_hand`` names for a step the variables whose unmet needs
    its role notices before acting; a step not named there notices those that it touches. ``looks`` are facts that a step
    sees besides those that it ``shows``. ``heard`` are conditions that tell of themselves, to anybody. ``fellows`` are
    the steps that a step may be mistaken for. Of a step's effects those on variables ``with_first`` come with its first
    part, those on variables ``with_former`` with the part named before them: they are no parts of their own to be left undone.
    """

    follows: tuple[Follows, ...] = ()
    rests: Mapping[Ident, tuple[RestsOn, ...]] = field(default_factory=dict)
    at_hand: Mapping[Ident, frozenset[str]] = field(default_factory=dict)
    looks: Mapping[Ident, tuple[Fact, ...]] = field(default_factory=dict)
    heard: tuple[Constraint, ...] = ()
    fellows: Mapping[Ident, tuple[Fellow, ...]] = field(default_factory=dict)
    with_first: frozenset[str] = frozenset()
    with_former: frozenset[str] = frozenset()
