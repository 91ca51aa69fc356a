"""End lamps: white head lamp and red tail lamp of one end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Disc, Lettering, Mark
from headstock.devices.scene import COUPLE
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable


class LampSpec(DeviceSpec):
    """Which lamp this is."""

    kind: Literal["lamp"]
    shows: Literal["white", "red"] = Field(description="white ahead or red behind")
    as_left: Literal["lit", "off"] = Field(description=AS_LEFT)


class Lamp(DeviceKind):
    """One lamp (or pair worked as one)."""

    name = "lamp"
    Spec = LampSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("lit", "off"), "device", f"{spec.shows} lamp of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        return tuple(
            Act(f"{verb} the {spec.shows} lamp of {at.where}", "between", "end", "lamp", "between",
                needs=((at.key(), here), (COUPLE, "locked")), effects=((at.key(), there),),
                brief=f"{spec.shows.capitalize()} lamp of {at.where} {there}.", order=(5,), at=at)
            for verb, here, there in (("light", "off", "lit"), ("put out", "lit", "off"))
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        lit = (position == "front" and spec.shows == "white") or (position == "rear" and spec.shows == "red")
        return ((at.key(), "lit" if lit else "off"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        x, y = (-1080.0 if spec.shows == "white" else 1080.0), 1720.0
        if values[""] == "off":
            return (Disc(x, y, 95, fill="ground"), line((x - 67, y - 67), (x + 67, y + 67)))
        if spec.shows == "red":
            return (box(x, y, 240, 240), Disc(x, y, 95, fill="ink"), Lettering(x, y - 42, "R", 120, "ground"))
        rays = tuple(line((x + dx * 120, y + dy * 120), (x + dx * 170, y + dy * 170))
                     for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)))  # fmt: skip
        return (Disc(x, y, 95, fill="ground"), Lettering(x, y - 42, "W", 110), *rays)


KIND = Lamp()
