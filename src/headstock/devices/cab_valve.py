"""Driver's brake valve of one cab: its positions are data (words on the plate, what each does)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.devices.kind import AS_LEFT, At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable

Function = Literal["running", "lap", "full", "empty", "locked"]
FUNCTIONS: tuple[Function, ...] = ("running", "lap", "full", "empty", "locked")


class ValvePosition(BaseModel):
    """One position: the word on the plate, what it does, the pipe pressure it ends at [bar, gauge] if it lets out, its area.

    Areas are effective ones [mm2]: `feeds_through_mm2` for running, `lets_out_through_mm2` and `ends_at_bar` for full and empty.
    A lap that makes up for leaks states `feeds_through_mm2` and `keeps_up_bar`; any other lap neither.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    word: str = Field(min_length=1, description="the word on the plate")
    does: Function = Field(description="what it does, one of the five")
    ends_at_bar: float | None = Field(
        default=None, ge=0, lt=6, description="brake pipe pressure at which it stops letting out [bar gauge]; of full and empty"
    )
    feeds_through_mm2: float | None = Field(
        default=None,
        gt=0,
        le=2000,
        description="opening that feeds [mm2, effective]; of running, and of a lap that makes up for leaks",
    )
    keeps_up_bar: float | None = Field(
        default=None, gt=0, lt=8, description="pressure below which a lap that makes up for leaks feeds [bar gauge]"
    )
    lets_out_through_mm2: float | None = Field(
        default=None, gt=0, le=2000, description="opening that lets out [mm2, effective]; of full and empty"
    )

    @model_validator(mode="after")
    def _areas_of_what_it_does(self) -> ValvePosition:
        lets_out = self.does in ("full", "empty")
        keeps_up = self.does == "lap" and (self.keeps_up_bar is not None or self.feeds_through_mm2 is not None)
        states = (
            ("feeds_through_mm2", self.does == "running" or keeps_up),
            ("lets_out_through_mm2", lets_out),
            ("keeps_up_bar", keeps_up),
        )
        wrong = [
            f"the {self.does} position {'must state' if wanted else 'has no'} {name}"
            for name, wanted in states
            if (getattr(self, name) is not None) != wanted
        ]
        if self.ends_at_bar is not None and not lets_out:
            wrong.append(f"the {self.does} position has no ends_at_bar")
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


class CabValveSpec(DeviceSpec):
    """Positions, the set pressure [bar, gauge], and over how much the valve closes before the end [bar]."""

    kind: Literal["cab valve"]
    set_pressure_bar: float = Field(gt=3, lt=8, description="pressure that running keeps in the brake pipe [bar gauge]")
    droop_bar: float = Field(gt=0, lt=1, description="range below its end over which the valve closes [bar]")
    positions: tuple[ValvePosition, ...] = Field(description="the five positions, each function once")
    as_left: Function = Field(description=AS_LEFT)

    @model_validator(mode="after")
    def _each_function_once(self) -> CabValveSpec:
        found = sorted(position.does for position in self.positions)
        if found != sorted(FUNCTIONS):
            raise ValueError(f"positions must do each of {', '.join(FUNCTIONS)} once; found {', '.join(found)}")
        if any(p.ends_at_bar is None for p in self.positions if p.does in ("full", "empty")):
            raise ValueError("the full and the empty position must say at which pressure they end (ends_at_bar)")
        if any((p.ends_at_bar or 0.0) >= self.set_pressure_bar for p in self.positions):
            raise ValueError("the full and the empty position must end below the set pressure (ends_at_bar, set_pressure_bar)")
        if (self.position("lap").keeps_up_bar or 0.0) > self.set_pressure_bar:
            raise ValueError("a lap keeps up no more than the set pressure (keeps_up_bar, set_pressure_bar)")
        return self

    def position(self, does: Function) -> ValvePosition:
        """The position that does this."""
        return next(position for position in self.positions if position.does == does)

    def word(self, does: Function) -> str:
        """The word on the plate for a function."""
        return self.position(does).word

    def feeds_to_bar(self, does: Function) -> float | None:
        """Gauge pressure up to which a position feeds; None where it feeds nothing."""
        if does == "running":
            return self.set_pressure_bar
        return self.position(does).keeps_up_bar

    def ends_at_bar(self, does: Function) -> float:
        """Gauge pressure at which a venting position ends."""
        return float(self.position(does).ends_at_bar or 0.0)


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
