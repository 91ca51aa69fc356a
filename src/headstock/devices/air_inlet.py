"""Air inlet of an end for a rescue: by it another's main reservoir hose fills the springs, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec
from headstock.devices.marks import Disc, Mark
from headstock.devices.scene import PULLED
from headstock.reasoning.variable import Fact, Variable


class AirInletSpec(DeviceSpec):
    """The pattern of its coupling: a hose with a like one joins."""

    kind: Literal["air inlet"]
    half_coupling: str = Field(min_length=1, description="pattern of its coupling; a main reservoir hose with a like one joins")
    as_left: Literal["capped"] = Field(description=AS_LEFT)


class AirInlet(DeviceKind):
    """One inlet."""

    name = "air inlet"
    Spec = AirInletSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("capped", "joined"), "device", f"air inlet of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        filled = values[""] == "joined"
        return (
            Disc(470, 640, 45, ink="main_reservoir_pipe", weight="frame", fill="main_reservoir_pipe" if filled else "ground"),
        )


def inlet_acts(inlet: At, hose: At, cock: At, ready: tuple[Fact, ...]) -> tuple[Act, Act]:
    """A main reservoir hose joined to an inlet, its cock opened slowly; ``ready`` is what the couple must be proved by first."""
    shut = (cock.key(), "shut")
    joined = ((hose.key(), "joined"), (inlet.key(), "joined"))
    there = f"the air inlet of {inlet.where}"
    return (
        Act(f"join the main reservoir pipe hose of {hose.where} to {there}", "between", "end", "join_hoses", "between",
            needs=((hose.key(), "hanging"), (inlet.key(), "capped"), shut, (PULLED, "held"), *ready), effects=joined,
            knows=(shut,), order=(1, 1), at=hose, brief=f"Main reservoir hose of {hose.where} to {there}.",
            caution="Shut does not always mean empty: turn the face away."),
        Act(f"open the main reservoir pipe cock of {cock.where} to the air inlet slowly", "between", "end", "cock_slowly",
            "between", needs=(shut, *joined), effects=((cock.key(), "open"),), order=(3, 1, 1), at=cock,
            brief=f"Main reservoir cock of {cock.where} slowly.",
            caution="Body clear of the hose, face turned away: a hose under pressure swings hard."),
    )  # fmt: skip


def inlet_parting_acts(inlet: At, hose: At, cock: At) -> tuple[Act, Act]:
    """The cock before an inlet shut, the hose taken off it, the inlet capped."""
    shut, joined = (cock.key(), "shut"), ((hose.key(), "joined"), (inlet.key(), "joined"))
    there = f"the air inlet of {inlet.where}"
    return (
        Act(f"shut the main reservoir pipe cock of {cock.where} to the air inlet", "between", "end", "cock", "between",
            needs=((cock.key(), "open"), *joined), effects=(shut,), order=(3, 1, 0), at=cock,
            brief=f"Main reservoir cock of {cock.where} shut; it is heard to vent."),
        Act(f"take the main reservoir pipe hose of {hose.where} off {there} and cap it", "between", "end", "join_hoses",
            "between", needs=(*joined, shut), effects=((hose.key(), "hanging"), (inlet.key(), "capped")), knows=(shut,),
            order=(4, 1), at=hose, brief=f"Main reservoir hose of {hose.where} off {there}, inlet capped.",
            caution="A hose under pressure swings hard: only after it has been heard to vent, face turned away."),
    )  # fmt: skip


KIND = AirInlet()
