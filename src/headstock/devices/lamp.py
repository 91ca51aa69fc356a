"""End lamps: white head lamp and red tail lamp of one end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from headstock.devices.kind import Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.scene import COUPLE
from headstock.reasoning.variable import Fact, Variable


class LampSpec(DeviceSpec):
    """Which lamp this is."""

    kind: Literal["lamp"]
    shows: Literal["white", "red"]
    as_left: Literal["lit", "off"]


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
                brief="Joint lamps out." if there == "off" else f"{spec.shows.capitalize()} lamp lit.", order=(5,),
                at=at)
            for verb, here, there in (("light", "off", "lit"), ("put out", "lit", "off"))
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        lit = (position == "front" and spec.shows == "white") or (position == "rear" and spec.shows == "red")
        return ((at.key(), "lit" if lit else "off"),)


KIND = Lamp()
