"""Not-to-be-moved board: taken off only by whoever placed it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, At, DeviceKind, DeviceSpec
from headstock.devices.marks import Lettering, Mark
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable


class BoardSpec(DeviceSpec):
    """A bracket for a not-to-be-moved board."""

    kind: Literal["board"]
    as_left: Literal["placed", "off"] = Field(description=AS_LEFT)


class Board(DeviceKind):
    """The board of one unit."""

    name = "board"
    Spec = BoardSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("placed", "off"), "device", f"not-to-be-moved board of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def end_state(self, at: At, spec: Any, position: str, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "off"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        if values[""] == "off":
            return ()
        return (
            box(0, 1560, 620, 250, weight="frame"),
            line((-240, 1625), (240, 1625), weight="headstock"),
            Lettering(0, 1475, "board", 105),
        )


KIND = Board()
