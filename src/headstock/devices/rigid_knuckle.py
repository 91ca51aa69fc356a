"""Rigid knuckle coupler: a knuckle with guides that leave no play up or down; hoses and jumpers are joined by hand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.devices.coupler import Face
from headstock.devices.kind import AS_LEFT, Act, At, DeviceSpec, Making, Position
from headstock.devices.knuckle import Knuckle
from headstock.devices.marks import Disc, Mark
from headstock.devices.scene import GAP
from headstock.devices.strokes import box, line, shape
from headstock.reasoning.variable import Fact, Variable


class RigidKnuckleLeft(BaseModel):
    """The state in which the coupler is left."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    jaw: Literal["shut", "open"] = Field(description="the knuckle itself")
    lock: Literal["down", "up"] = Field(description="the lock, down to hold the knuckle or lifted")


class RigidKnuckleSpec(DeviceSpec):
    """Heights above rail [mm], gathering [mm], rated pull [kN], the contour of its knuckle, what one sees of the lock."""

    kind: Literal["rigid knuckle"]
    contour: str = Field(min_length=1, description="contour of the knuckle; like ones close round one another")
    height_mm: float = Field(gt=500, lt=1300, description="centre of the head above the rail, unit new and empty [mm]")
    height_low_mm: float = Field(gt=500, lt=1300, description="the lowest it can come to by wear, load and suspension [mm]")
    height_high_mm: float = Field(gt=500, lt=1300, description="the highest it can come to [mm]")
    gathers_vertically_mm: float = Field(gt=0, lt=400, description="difference in height that its guides still take in [mm]")
    gathers_horizontally_mm: float | None = Field(
        default=None, gt=0, lt=800, description="difference sideways that its guides still take in [mm]; needed on a curve"
    )
    rated_pull_kn: float = Field(gt=0, le=4000, description="rated pull [kN]")
    closes_from_kmh: float | None = Field(
        default=None, gt=0, le=8, description="least speed at which it closes by the blow [km/h]; left out where any does"
    )
    lock_sign: str = Field(min_length=3, description="what one sees from outside when it has locked")
    as_left: RigidKnuckleLeft = Field(description=AS_LEFT)


class RigidKnuckle(Knuckle):
    """The rigid knuckle coupler of one end: coupled and proved as any knuckle, with no head to raise and no pin."""

    name = "rigid knuckle"
    Spec = RigidKnuckleSpec

    def faces(self, spec: Any) -> tuple[Face, ...]:
        return (Face(f"knuckle {spec.contour}"),)

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (
            Variable(at.key("jaw"), ("shut", "open"), "device", f"knuckle of {at.where}"),
            Variable(at.key("lock"), ("down", "up"), "device", f"lock of {at.where}", sign=True),
        )

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        jaw, lock = at.key("jaw"), at.key("lock")
        return (
            Act(f"open the knuckle of {at.where}", "between", "end", "open_knuckle", "dress",
                needs=((jaw, "shut"), (GAP, "apart")), effects=((jaw, "open"), (lock, "up")),
                brief=f"Lift the lock, open one knuckle, {at.where}.", caution="Fingers out of the knuckle.", order=(1,), at=at),
        )  # fmt: skip

    def closes(self, at: At) -> tuple[Fact, ...]:
        return ((at.key("jaw"), "shut"), (at.key("lock"), "down"))

    def opens(self, at: At) -> tuple[Fact, ...]:
        return ((at.key("jaw"), "open"), (at.key("lock"), "up"))

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        return ()

    def left_safe(self, at: At, spec: Any, state: Mapping[str, str]) -> tuple[Fact, ...]:
        return ()

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key("lock"), "down"),) if position == "joint" and mated else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        # Guide horn to the left, pocket for the other's horn to the right.
        parts: list[Mark] = [
            box(0, y, 360, 400, weight="frame"),
            shape((-180, y + 90), (-390, y + 45), (-390, y - 45), (-180, y - 90), fill="plate"),
            box(255, y, 150, 150),
        ]
        if values["jaw"] == "shut":
            parts.append(box(60, y, 95, 300, fill="ink"))
        else:
            parts.append(shape((40, y + 170), (330, y + 260), (330, y + 160), (40, y + 60), fill="ink"))
        low = y - 200 - (90 if values["lock"] == "down" else 15)
        parts += [line((0, y - 200), (0, low), weight="frame"), Disc(0, low, 38, fill="ink")]
        return tuple(parts)


KIND = RigidKnuckle()
