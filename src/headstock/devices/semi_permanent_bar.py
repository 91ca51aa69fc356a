"""Semi-permanent bar: two vehicles held together by a bar that only a workshop makes and parts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.coupler import CouplerKind
from headstock.devices.kind import AS_LEFT, At, DeviceSpec, Position
from headstock.devices.marks import Disc, Mark
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable


class SemiPermanentBarSpec(DeviceSpec):
    """Height above rail [mm], rated pull [kN], pattern, how a workshop makes it."""

    kind: Literal["semi-permanent bar"]
    pattern: str = Field(min_length=1, description="pattern of the bar; a workshop makes one of two like halves")
    height_mm: float = Field(gt=500, lt=1300, description="centre above the rail, unit new and empty [mm]")
    rated_pull_kn: float = Field(gt=0, le=4000, description="rated pull [kN]")
    made_by: str = Field(min_length=3, description="what a workshop needs to make and part it, in words; it is the reason given")
    as_left: Literal["open", "made"] = Field(description=AS_LEFT)


class SemiPermanentBar(CouplerKind):
    """The half bar of one end. It has no acts: nobody on the ground works it."""

    name = "semi-permanent bar"
    Spec = SemiPermanentBarSpec

    def workshop_only(self, spec: Any) -> str:
        return str(spec.made_by)

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("open", "made"), "device", f"bar of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pattern == other.pattern)

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "made" if position == "joint" and mated else "open"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        bar: tuple[Mark, ...] = (Disc(0, y, 190, weight="frame", fill="ground"), Disc(0, y, 100, fill="ink"))
        if values[""] == "open":
            return bar
        # The muff closes round it: two halves, parted by a level line, a bolt at each corner.
        muff = box(0, y, 560, 440, weight="frame")
        bolts = tuple(Disc(x, y + rise, 32, fill="ink") for x in (-235, 235) for rise in (-165, 165))
        return (muff, *bar, *bolts, line((-280, y), (-190, y)), line((190, y), (280, y)))


KIND = SemiPermanentBar()
