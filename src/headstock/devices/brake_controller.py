"""Driver's brake controller of a cab without a brake pipe: it commands by wires; its words are data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.devices.kind import AS_LEFT, At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable

Command = Literal["release", "full", "emergency", "locked"]
COMMANDS: tuple[Command, ...] = ("release", "full", "emergency", "locked")


class ControllerPosition(BaseModel):
    """One position: the word on the plate and what it commands."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    word: str = Field(min_length=1, description="the word on the plate")
    does: Command = Field(description="what it commands, one of the four")


class BrakeControllerSpec(DeviceSpec):
    """The positions of a controller. It touches no air: what it commands goes by wires."""

    kind: Literal["brake controller"]
    positions: tuple[ControllerPosition, ...] = Field(description="the four positions, each command once")
    as_left: Command = Field(description=AS_LEFT)

    @model_validator(mode="after")
    def _each_command_once(self) -> BrakeControllerSpec:
        found = sorted(position.does for position in self.positions)
        if found != sorted(COMMANDS):
            raise ValueError(f"positions must do each of {', '.join(COMMANDS)} once; found {', '.join(found)}")
        return self

    def word(self, does: Command) -> str:
        """The word on the plate for a command."""
        return next(position.word for position in self.positions if position.does == does)


class BrakeController(DeviceKind):
    """The brake controller of one cab."""

    name = "brake controller"
    Spec = BrakeControllerSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        phrases = tuple((does, f"brake controller of {at.where} at {spec.word(does)}") for does in COMMANDS[:-1])
        phrases += (("locked", f"brake controller of {at.where} locked"),)
        return (Variable(at.key(), COMMANDS, "device", f"brake controller of {at.where}", phrases=phrases),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}


KIND = BrakeController()
