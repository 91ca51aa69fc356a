"""Side buffers: fixed, or pulled out for screw work and pushed in for knuckle work."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Making
from headstock.devices.marks import Disc, Mark
from headstock.devices.scene import GAP
from headstock.devices.strokes import line
from headstock.reasoning.variable import Fact, Variable


class BufferSpec(DeviceSpec):
    """Height above rail and spacing of the pair [mm]; whether they go in and out."""

    kind: Literal["buffers"]
    height_mm: float = Field(gt=500, lt=1300, description="centre above the rail [mm]")
    spacing_mm: float = Field(gt=1000, lt=2500, description="from centre to centre of the pair [mm]")
    moves: bool = Field(description="whether the buffers are set in and out for the kind of couple")
    as_left: Literal["in", "out"] = Field(description=AS_LEFT)


class Buffers(DeviceKind):
    """The pair of side buffers of one end."""

    name = "buffers"
    Spec = BufferSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("in", "out"), "device", f"buffers of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        if not spec.moves:
            return ()
        return tuple(
            Act(f"set the buffers of {at.where} {there}", "between", "end", "buffers", "dress",
                needs=((at.key(), here), (GAP, "apart")), effects=((at.key(), there),), brief=f"Buffers {there}.",
                order=(2,), at=at)
            for here, there in (("out", "in"), ("in", "out"))
        )  # fmt: skip

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        return ((at.key(), "out" if making == "screw" else "in"),) if spec.moves else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        parts: list[Mark] = []
        for x in (-spec.spacing_mm / 2, spec.spacing_mm / 2):
            parts.append(Disc(x, spec.height_mm, 225, fill="ground"))
            if values[""] == "in":
                parts += [
                    line((x - 50, spec.height_mm), (x + 50, spec.height_mm)),
                    line((x, spec.height_mm - 50), (x, spec.height_mm + 50)),
                ]
            else:
                parts += [Disc(x, spec.height_mm, 150), Disc(x, spec.height_mm, 60, fill="ink")]
        return tuple(parts)


KIND = Buffers()
