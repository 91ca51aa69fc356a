"""Electrical head of an automatic coupler: contacts by number, covered, mated, or locked back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Disc, Lettering, Mark
from headstock.devices.scene import COUPLE, GAP, PULLED
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable


class ElectricalHeadSpec(DeviceSpec):
    """Pattern of the head, functions by contact, whether it can be locked back."""

    kind: Literal["electrical head"]
    pattern: str = Field(min_length=1, description="pattern of the head; two like ones mate")
    pins: dict[str, str] = Field(min_length=1, description="what each contact carries, by its number")
    height_mm: float = Field(default=640, gt=200, lt=1500, description="centre above the rail, where drawings show it [mm]")
    can_be_locked_back: bool = Field(description="whether it can be locked back out of the way")
    button_held_s: float = Field(gt=0, le=60, description="how long its button is held until it is out [s]")
    wound_back_by: str | None = Field(
        default=None, min_length=3, description="with what it is wound back by hand, in words; left out where it cannot be"
    )
    as_left: Literal["covered", "locked back"] = Field(description=AS_LEFT)


class ElectricalHead(DeviceKind):
    """The electrical head of one end."""

    name = "electrical head"
    Spec = ElectricalHeadSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        domain = ("covered", "mated", "locked back")
        return (Variable(at.key(), domain, "device", f"electrical head of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        back, covered = (at.key(), "locked back"), (at.key(), "covered")
        if not spec.can_be_locked_back:
            return ()
        return (
            Act(f"lock the electrical head of {at.where} back", "between", "end", "head_back", "dress", needs=(covered,),
                effects=(back,), shows=(back,), brief=f"Electrical head of {at.where} locked back.", order=(4,), at=at,
                caution="Fingers out of the path of the head and its cover."),
            Act(f"let the electrical head of {at.where} free", "between", "end", "head_back", "dress",
                needs=(back, (GAP, "apart")), effects=(covered,), shows=(covered,),
                brief=f"Electrical head of {at.where} free under its cover.", order=(4,), at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pattern == other.pattern and spec.pins == other.pins)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """Out by a button in the cab after the pull; what the cab shows of it is not the mechanical couple's sign."""
        ends = (near[0], far[0])
        mated = tuple((at.key(), "mated") for at in ends)
        joint = f"{near[0].where} and {far[0].where}"
        return (
            Act(f"hold the button until the electrical heads of {joint} are out", "drives", "driving cab", "head_out", "join",
                needs=(*((at.key(), "covered") for at in ends), (PULLED, "held")), effects=mated, order=(10, 0), at=near[0],
                brief=f"Electrical heads out: button held {near[1].button_held_s:g} s.",
                caution="Nobody near the heads while they move."),
            Act(f"see in the cab that the electrical heads of {joint} are mated", "drives", "driving cab", "look", "join",
                needs=mated, shows=mated, order=(10, 1), at=near[0], brief="Cab shows the electrical couple made."),
        )  # fmt: skip

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """Back before the couple parts, by the button."""
        ends = (near[0], far[0])
        back = tuple((at.key(), "covered") for at in ends)
        return (
            Act(f"hold the button until the electrical heads of {near[0].where} and {far[0].where} are back", "drives",
                "driving cab", "head_out", "part", needs=(*((at.key(), "mated") for at in ends), (COUPLE, "locked")),
                effects=back, order=(5, 0), at=near[0], brief=f"Electrical heads back: button held {near[1].button_held_s:g} s.",
                caution="Nobody near the heads while they move."),
            Act("see in the cab that the electrical heads are back", "drives", "driving cab", "look", "part", needs=back,
                shows=back, order=(5, 1), at=near[0], brief="Cab shows the electrical heads back."),
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "mated"),) if position == "joint" and mated else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        if values[""] == "covered":
            # The cover hides the contacts: no dots to see.
            return (box(0, y, 720, 200, weight="frame", fill="plate"), Lettering(0, y - 35, "cover", 100))
        face = box(0, y, 720, 200, weight="frame")
        dots = tuple(Disc(x, y, 22, ink="electrical", fill="electrical") for x in range(-270, 271, 90))
        if values[""] == "locked back":
            return (face, line((-360, y + 100), (360, y - 100), weight="frame"))
        return (face, *dots)


KIND = ElectricalHead()
