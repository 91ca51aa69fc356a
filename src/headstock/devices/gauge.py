"""Gauge: where it is, what it reads, range, graduation and class. It has no state of its own."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from headstock.devices.kind import DeviceKind, DeviceSpec


class GaugeSpec(DeviceSpec):
    """Range [bar, gauge], graduation [bar], accuracy class [per cent of full scale]."""

    kind: Literal["gauge"]
    reads: Literal["brake pipe", "main reservoir pipe", "brake cylinder"] = Field(description="what it reads")
    range_low_bar: float = Field(ge=0, description="lowest mark [bar gauge]")
    range_high_bar: float = Field(gt=0, le=20, description="highest mark [bar gauge]")
    graduation_bar: float = Field(gt=0, le=1, description="from mark to mark [bar]")
    accuracy_class_percent: float = Field(gt=0, le=5, description="greatest error [per cent of the highest mark]")

    @model_validator(mode="after")
    def _range_is_a_range(self) -> GaugeSpec:
        if self.range_high_bar <= self.range_low_bar:
            raise ValueError("range_high_bar must be more than range_low_bar")
        return self


class Gauge(DeviceKind):
    """One gauge."""

    name = "gauge"
    Spec = GaugeSpec


KIND = Gauge()
