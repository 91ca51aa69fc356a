"""Steps: what one role does, sees or says; what it needs and what it changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from headstock.reasoning.variable import Fact

Ageing = Literal["nobody", "self", "everybody"]


@dataclass(frozen=True, slots=True)
class Utterance:
    """Words from one role to another; ``said_back`` when the hearer must repeat them."""

    speaker: str
    hearer: str
    words: str
    said_back: bool = True


@dataclass(frozen=True, slots=True)
class Step:
    """One elementary step of an order of work.

    ``needs`` are facts of the world, ``knows`` facts that the acting role must know, ``shows`` facts that the acting role
    learns with own eyes, ``tells`` facts handed to ``hearer``. ``place`` is where the role stands (None: anywhere),
    ``goes_to`` where it stands afterwards if that differs. ``ages`` says whose fresh knowledge ends with this step.
    """

    key: str
    role: str
    place: str | None
    needs: tuple[Fact, ...] = ()
    effects: tuple[Fact, ...] = ()
    knows: tuple[Fact, ...] = ()
    shows: tuple[Fact, ...] = ()
    tells: tuple[Fact, ...] = ()
    hearer: str = ""
    goes_to: str | None = None
    ages: Ageing = "nobody"
    duration_s: float = 1.0
    extra_cost_s: float = 0.0
    phase: str = ""
    order: tuple[int, ...] = ()
    brief: str = ""
    caution: str = ""
    said: tuple[Utterance, ...] = ()
    hears: tuple[str, ...] = ()

    @property
    def ident(self) -> tuple[str, str]:
        """Role and key: two roles may have a step of the same words."""
        return self.role, self.key

    def touched(self) -> tuple[str, ...]:
        """Keys of the variables that this step sets."""
        return tuple(key for key, _ in self.effects)
