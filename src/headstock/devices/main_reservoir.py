"""Compressor with its main reservoir, governor and safety valve."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, model_validator

from headstock.devices.kind import At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable


class MainReservoirSpec(DeviceSpec):
    """Where it sits, how much it holds, how fast it is filled, between which pressures; the safety valve above these."""

    kind: Literal["main reservoir"]
    vehicle: str = Field(min_length=1, max_length=3, description="suffix of the vehicle that carries it")
    volume_l: float = Field(gt=5, le=3000, description="main reservoir [l]")
    opening_mm2: float = Field(gt=0, le=1000, description="between reservoir and what it feeds [mm2, effective]")
    free_air_l_per_min: float = Field(gt=0, le=10000, description="what the compressor delivers, as free air [l/min]")
    starts_at_bar: float = Field(gt=3, le=12, description="the governor starts the compressor below this [bar gauge]")
    stops_at_bar: float = Field(gt=3, le=12, description="and stops it above this [bar gauge]")
    safety_opens_bar: float = Field(gt=3, le=15, description="the safety valve opens above this [bar gauge]")
    safety_shuts_bar: float = Field(gt=3, le=15, description="and shuts below this [bar gauge]")
    safety_mm2: float = Field(gt=0, le=1000, description="opening of the safety valve [mm2, effective]")

    @model_validator(mode="after")
    def _pressures_in_order(self) -> MainReservoirSpec:
        order = ("starts_at_bar", "stops_at_bar", "safety_shuts_bar", "safety_opens_bar")
        values = [getattr(self, name) for name in order]
        if sorted(values) != values or values[0] == values[1] or values[2] == values[3]:
            raise ValueError("the pressures must rise in this order: " + ", ".join(order))
        return self


class MainReservoir(DeviceKind):
    """The compressor of one unit runs as its governor says, or is dead."""

    name = "main reservoir"
    Spec = MainReservoirSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("working", "dead"), "device", f"compressor of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): "working"}


def filled_key(portion: str) -> str:
    """Whether the main reservoirs of a portion without a working compressor have been filled from another's."""
    return f"{portion}.main_reservoir_pipe"


KIND = MainReservoir()
