"""Gangway door of an end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Making, Position
from headstock.devices.marks import Lettering, Mark
from headstock.devices.strokes import line
from headstock.reasoning.variable import Fact, Variable


class GangwaySpec(DeviceSpec):
    """A gangway door that can be shut and locked."""

    kind: Literal["gangway"]
    as_left: Literal["shut", "open"] = Field(description=AS_LEFT)


class Gangway(DeviceKind):
    """One gangway door."""

    name = "gangway"
    Spec = GangwaySpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("shut", "open"), "device", f"gangway door of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        return (
            Act(f"shut the gangway door of {at.where}", "between", "end", "gangway", "dress",
                needs=((at.key(), "open"),), effects=((at.key(), "shut"),), brief=f"Gangway of {at.where} shut.", at=at),
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "shut"),)

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        return ((at.key(), "shut"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        uprights = tuple(line((x, 1180), (x, 1880)) for x in (-430, 430))
        if values[""] == "shut":
            return (*uprights, line((-430, 1720), (430, 1720), weight="frame"), Lettering(0, 1770, "shut", 95))
        return (*uprights, Lettering(0, 1700, "open", 95))


KIND = Gangway()
