"""Electrical head of an automatic coupler: contacts by number, covered, mated, or locked back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, At, DeviceKind, DeviceSpec
from headstock.devices.marks import Disc, Lettering, Mark
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Variable


class ElectricalHeadSpec(DeviceSpec):
    """Pattern of the head, functions by contact, whether it can be locked back."""

    kind: Literal["electrical head"]
    pattern: str = Field(min_length=1, description="pattern of the head; two like ones mate")
    pins: dict[str, str] = Field(min_length=1, description="what each contact carries, by its number")
    height_mm: float = Field(default=640, gt=200, lt=1500, description="centre above the rail, where drawings show it [mm]")
    can_be_locked_back: bool = Field(description="whether it can be locked back out of the way")
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

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pattern == other.pattern and spec.pins == other.pins)

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
