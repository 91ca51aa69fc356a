"""Hook with screw coupling: one screw is hung over the other hook and tightened; the other stays stowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.coupler import CouplerKind, Face
from headstock.devices.kind import AS_LEFT, Act, At, DeviceSpec, Making, Position
from headstock.devices.marks import Mark
from headstock.devices.screw_coupling import SCREW
from headstock.devices.strokes import curve, line
from headstock.reasoning.variable import Fact, Variable


class HookScrewSpec(DeviceSpec):
    """Hook height [mm], rated pull of the screw [kN], whether the hook moves and takes buffing loads."""

    kind: Literal["hook and screw"]
    height_mm: float = Field(gt=500, lt=1300, description="hook above the rail, unit new and empty [mm]")
    height_low_mm: float = Field(gt=500, lt=1300, description="the lowest it can come to by wear, load and suspension [mm]")
    height_high_mm: float = Field(gt=500, lt=1300, description="the highest it can come to [mm]")
    rated_pull_kn: float = Field(gt=0, le=4000, description="rated pull of the screw [kN]")
    hook_moves_and_takes_buff: bool = Field(description="whether the hook moves and takes buffing loads: needed for an adapter")
    as_left: Literal["stowed", "hanging"] = Field(description=AS_LEFT)


class HookScrew(CouplerKind):
    """The hook and its screw coupling of one end."""

    name = "hook and screw"
    Spec = HookScrewSpec
    face_form = "hook and screw"

    def faces(self, spec: Any) -> tuple[Face, ...]:
        return (hook_face(spec),)

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), SCREW, "device", f"screw coupling of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        return (
            Act(f"hang the screw of {at.where} on its stowage hook", "between", "end", "screw", "dress",
                needs=((at.key(), "hanging"),), effects=((at.key(), "stowed"),), brief=f"Own screw of {at.where} stowed.",
                order=(1,), at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return True

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        return ((at.key(), "stowed"),)

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return () if position == "joint" and mated else ((at.key(), "stowed"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        hook = bare_hook(y)
        if values[""] == "stowed":
            # Folded up on its own bracket: short loop, the bar of the screw across it.
            return (*_loop(y, 330), line((-120, y - 230), (120, y - 230), weight="frame"), *hook)
        return (*_loop(y, 560), line((-120, y - 300), (120, y - 300), weight="frame"), *hook)


def hook_face(spec: Any) -> Face:
    """A draw hook as a face: it takes a screw or an adapter, and couples nothing by itself."""
    takes_buff = bool(spec.hook_moves_and_takes_buff)
    return Face(HookScrew.face_form, couples_by_itself=False, is_hook=True, takes_buff=takes_buff)


def bare_hook(y: float) -> tuple[Mark, ...]:
    """A draw hook about its height [mm]: shank below, point to the viewer's right."""
    hook = (*curve((-75, y - 170), (-75, y - 60), (-75, y - 20), (-75, y + 50)).points_mm,
            *curve((-75, y + 50), (-75, y + 185), (90, y + 185), (90, y + 25)).points_mm[1:])  # fmt: skip
    return (line(*hook, weight="headstock"),)


def _loop(y: float, long: float) -> tuple[Mark, ...]:
    """The screw's loop hung from the hook, ``long`` below its height [mm]."""
    foot = curve((-80, y - long + 90), (-60, y - long), (60, y - long), (80, y - long + 90)).points_mm
    return (line((-80, y - 120), *foot, (80, y - 120), weight="frame"),)


KIND = HookScrew()
