"""Hook with screw coupling: one screw is hung over the other hook and tightened; the other stays stowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Mark
from headstock.devices.strokes import curve, line
from headstock.reasoning.variable import Fact, Variable


class HookScrewSpec(DeviceSpec):
    """Hook height [mm], rated pull of the screw [kN], whether the hook moves and takes buffing loads."""

    kind: Literal["hook and screw"]
    height_mm: float = Field(gt=500, lt=1300)
    height_low_mm: float = Field(gt=500, lt=1300)
    height_high_mm: float = Field(gt=500, lt=1300)
    rated_pull_kn: float = Field(gt=0, le=4000)
    hook_moves_and_takes_buff: bool
    as_left: Literal["stowed", "hanging"]


class HookScrew(DeviceKind):
    """The hook and its screw coupling of one end."""

    name = "hook and screw"
    Spec = HookScrewSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        domain = ("stowed", "hanging", "over the hook", "tight")
        return (Variable(at.key(), domain, "device", f"screw coupling of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def mates(self, spec: Any, other: Any) -> bool:
        return True

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return () if position == "joint" and mated else ((at.key(), "stowed"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        hook = curve((0, y - 60), (-120, y + 60), (40, y + 230), (90, y + 90), weight="headstock")
        if values[""] == "stowed":
            return (hook, line((-60, y - 80), (-60, y - 330), (60, y - 330), (60, y - 80), weight="frame"),
                    line((-60, y - 200), (60, y - 200), weight="frame"))  # fmt: skip
        return (hook, line((-50, y + 40), (-50, y - 520), (50, y - 520), (50, y + 40), weight="frame"))


KIND = HookScrew()
