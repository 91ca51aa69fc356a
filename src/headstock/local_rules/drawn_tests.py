"""From what tests are drawn: how healthy trains differ, how bad and how frequent by comparison faults are taken to be.

A judgement of whoever wrote the file, which says so: no rates are published for this work.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import read_document
from headstock.base.loading import load_as

BUILT_IN = Path(__file__).parent / "drawn"
DEMONSTRATION = BUILT_IN / "demonstration.yaml"
FaultKind = Literal[
    "nothing", "cock shut", "cock part open", "pipe blocked", "pipe leaks", "brake isolated", "cylinder leaks",
    "reservoir not fed", "other valve feeds", "lapped valve feeds", "compressor dead", "main reservoir cock shut",
    "parking brake on", "hand brake on", "wrong gauge read", "gauge stuck", "gauge off",
]  # fmt: skip
FAULT_KINDS: Final[tuple[FaultKind, ...]] = get_args(FaultKind)
SEVERITY_OF: Final[dict[FaultKind, str]] = {
    "cock part open": "share of the bore left open [-]",
    "pipe blocked": "share of the bore left open [-]",
    "pipe leaks": "fall of a whole pipe at its set pressure [bar per minute]",
    "cylinder leaks": "opening from the brake cylinder [mm2]",
    "lapped valve feeds": "opening left from the main reservoir [mm2]",
    "gauge off": "how much too high it shows [bar]",
}
"""Kinds that have degrees, and what the figure is."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Range(_Part):
    """Even between two figures."""

    low: float = Field(description="the lowest")
    high: float = Field(description="the highest")

    @model_validator(mode="after")
    def _is_in_order(self) -> Range:
        if self.high < self.low:
            raise ValueError("high must not be less than low")
        return self


class HealthyTrains(_Part):
    """What differs from one healthy train and test to another."""

    leak_share_of_limit: Range = Field(description="leak of the whole brake pipe as a share of what is allowed [-]")
    leak_limit_bar_per_min: float = Field(gt=0, description="fall that is still healthy [bar per minute]")
    temperature_c: Range = Field(description="air temperature [degrees C]")
    set_pressure_error_bar: Range = Field(description="how far the leading valve is off its set pressure [bar]")
    pipe_before_error_bar: Range = Field(description="how far the pipe is off what the gauge showed before the test [bar]")
    stage_longer_s: Range = Field(description="how much longer than the rules ask a stage lasts [s]")
    friction_share: Range = Field(
        default=Range(low=1.0, high=1.0), description="friction of the brakes as a share of what the unit types state [-]"
    )
    running_rise: Range = Field(
        default=Range(low=0.0, high=0.0), description="rise of the line ahead in a running test [rise/run]; below 0 a fall"
    )
    running_from_error_kmh: Range = Field(
        default=Range(low=0.0, high=0.0), description="how far the speed is off that at which a running test begins [km/h]"
    )


class HowRead(_Part):
    """How people read a gauge; its class and marks are data of the gauge."""

    eye_share_of_mark: float = Field(gt=0, le=1, description="how finely a mark is read, as a share of it [-]")
    flow_off_share: float = Field(
        default=0.05, ge=0, le=0.5, description="how far a flow meter may be off, as a share of what it reads [-]"
    )
    flow_mark_l_per_min: float = Field(default=5.0, gt=0, description="from mark to mark of a flow meter [l/min]")
    speed_mark_kmh: float = Field(default=1.0, gt=0, description="from mark to mark of a speed indicator [km/h]")


class FaultDrawn(_Part):
    """One kind of fault."""

    kind: FaultKind = Field(description="what it is")
    weight: float = Field(gt=0, description="how often by comparison, over all the places where it can be [-]")
    severities: tuple[float, ...] = Field(default=(), max_length=8, description="how bad, mildest first; unit by kind")

    @model_validator(mode="after")
    def _degrees_belong(self) -> FaultDrawn:
        if bool(self.severities) != (self.kind in SEVERITY_OF):
            raise ValueError(f"{self.kind} has {SEVERITY_OF.get(self.kind, 'no severities')}")
        if self.kind in ("cock part open", "pipe blocked") and not all(0 <= share < 1 for share in self.severities):
            raise ValueError("a share of the bore is from 0 to less than 1")
        if self.kind in ("pipe leaks", "cylinder leaks", "lapped valve feeds") and min(self.severities) <= 0:
            raise ValueError("an opening is more than 0")
        return self


class DrawnTests(_Part):
    """A whole file."""

    name: str = Field(min_length=1, description="what the list is called")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="whether it is invented for demonstration")
    note: str = Field(min_length=20, description="on what the figures rest, in words; answers say it")
    healthy: HealthyTrains = Field(description="healthy trains")
    reading: HowRead = Field(description="how gauges are read")
    faults: tuple[FaultDrawn, ...] = Field(min_length=2, description="kinds of faults, each once; `nothing` among them")

    @model_validator(mode="after")
    def _kinds_once(self) -> DrawnTests:
        kinds = [fault.kind for fault in self.faults]
        twice = sorted({kind for kind in kinds if kinds.count(kind) > 1})
        if twice or "nothing" not in kinds:
            raise ValueError(f"each kind once and nothing among them; twice: {', '.join(twice) or 'none'}")
        return self


def load_drawn_tests(path: Path) -> DrawnTests:
    """The file. Raises InputError with every fault."""
    return load_as(read_document(path), DrawnTests, "drawn tests")
