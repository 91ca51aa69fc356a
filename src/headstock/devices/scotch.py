"""Scotches: from their stowage, laid under the low side of a vehicle's wheels, taken away last. No force is counted for them.

A hand's breadth is left to the wheel, so that a portion that does not stand on its brakes is seen to move, and is caught.
"""

from __future__ import annotations

from dataclasses import dataclass

from headstock.devices.kind import Act, At
from headstock.reasoning.variable import Fact, Variable

SCOTCHES = ("off", "carried", "on")


@dataclass(frozen=True, slots=True)
class Scotches:
    """A pair of scotches in a job: under which vehicle, on which side of its wheels, by which unit and where they are carried."""

    at: At
    side: str
    carried_by: str
    stowage: str

    @property
    def key(self) -> str:
        """Key of their variable."""
        return self.at.key()


def scotch_variable(scotches: Scotches) -> Variable:
    """The variable of a pair of scotches."""
    where = scotches.at.where
    phrases = (("on", f"scotches laid at {where}"), ("off", f"scotches of {where} taken away and stowed"))
    return Variable(scotches.key, SCOTCHES, "device", f"scotches of {where}", phrases=phrases)


def scotch_acts(scotches: Scotches, others_off: tuple[Fact, ...]) -> tuple[Act, ...]:
    """Fetched, laid; taken away when every other hold (``others_off``) is off."""
    key, where = scotches.key, scotches.at.where
    taken_from = f"{scotches.carried_by}: {scotches.stowage}"
    side = f"{scotches.side} of the wheels, a hand's breadth off"
    carrier = At(scotches.carried_by, "scotches")
    return (
        Act(f"take the scotches from {taken_from}", "holds", "beside", "loose_gear", "hold", needs=((key, "off"),),
            effects=((key, "carried"),), at=carrier, order=(0, 0), brief=f"Scotches from {taken_from}."),
        Act(f"lay scotches at {where}, {side}", "holds", "beside", "scotches", "hold",
            needs=((key, "carried"),), effects=((key, "on"),), at=scotches.at, order=(0, 1),
            brief=f"Scotches at {where}, {side}.",
            caution="Before anybody touches its brakes: secured first. No fingers between wheel and scotch."),
        Act(f"take the scotches away from {where} and stow them", "holds", "beside", "scotches", "leave",
            needs=((key, "on"), *others_off), effects=((key, "off"),), at=scotches.at, order=(9,),
            brief=f"Scotches of {where} off, the last hold, and stowed.",
            caution="First: what holds it then? One that sits tight is not knocked out: say so."),
    )  # fmt: skip
