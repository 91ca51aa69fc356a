"""Driver's brake valve of one cab: its positions are data (words on the plate, what each does)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.devices.kind import At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable

Function = Literal["running", "lap", "full", "empty", "locked"]
FUNCTIONS: tuple[Function, ...] = ("running", "lap", "full", "empty", "locked")


class ValvePosition(BaseModel):
    """One position: the word on the plate, what it does, and the pipe pressure it ends at [bar, gauge] if it vents."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    word: str = Field(min_length=1)
    does: Function
    ends_at_bar: float | None = Field(default=None, ge=0, lt=6)


class CabValveSpec(DeviceSpec):
    """Positions, and the set pressure [bar, gauge]."""

    kind: Literal["cab valve"]
    set_pressure_bar: float = Field(gt=3, lt=8)
    positions: tuple[ValvePosition, ...] = Field(min_length=5)
    as_left: Function

    @model_validator(mode="after")
    def _each_function_once(self) -> CabValveSpec:
        found = sorted(position.does for position in self.positions)
        if found != sorted(FUNCTIONS):
            raise ValueError(f"positions must do each of {', '.join(FUNCTIONS)} once; found {', '.join(found)}")
        if any(p.ends_at_bar is None for p in self.positions if p.does in ("full", "empty")):
            raise ValueError("the full and the empty position must say at which pressure they end (ends_at_bar)")
        return self

    def word(self, does: Function) -> str:
        """The word on the plate for a function."""
        return next(position.word for position in self.positions if position.does == does)

    def ends_at_bar(self, does: Function) -> float:
        """Gauge pressure at which a venting position ends."""
        found = next(position.ends_at_bar for position in self.positions if position.does == does)
        return float(found or 0.0)


class CabValve(DeviceKind):
    """The valve of one cab. What is done with it depends on the job: the order of work says when."""

    name = "cab valve"
    Spec = CabValveSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        phrases = tuple((does, f"brake valve of {at.where} at {spec.word(does)}") for does in FUNCTIONS[:-1])
        phrases += (("locked", f"brake valve of {at.where} shut and locked"),)
        return (Variable(at.key(), FUNCTIONS, "device", f"brake valve of {at.where}", phrases=phrases),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}


KIND = CabValve()
