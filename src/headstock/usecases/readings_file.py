"""The readings file: a job or a train, method, edition of the rules, who read what where and when, and what was touched."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import read_document
from headstock.base.loading import load_as
from headstock.local_rules.method_stage import End, Reads
from headstock.local_rules.test_method import Release, Stock

READINGS_FOLDER = Path(__file__).parent / "readings"
PressureUnit = Literal["bar", "psi", "kPa", "kg/cm2"]
Unit = Literal["bar", "psi", "kPa", "kg/cm2", "l/min", "l/s", "cfm", "brakes", "km/h", "mph"]
Positive = Annotated[float, Field(gt=0)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ReadingLine(_Part):
    """One stage, done or read. Times as `HH:MM:SS` or `HH:MM`, with `YYYY-MM-DD` before where the test goes over midnight."""

    stage: str = Field(description="stage of the method, by its key")
    who: str = Field(min_length=1, description="who did or read it")
    at: End | None = Field(default=None, description="at which end; as the method says if left out")
    cab: str | None = Field(default=None, description="the cab where it was read, `226/2`; must be that end of the job's train")
    time: str = Field(description="when it was done, or read")
    clock: str | None = Field(default=None, description="whose clock: a name under `clocks`; all lines name one, or none does")
    gauge: Reads | None = Field(default=None, description="what was read; as the method says if left out")
    shows: float | None = Field(default=None, description="the figure read, or counted; of a running test how far the speed fell")
    unit: Unit | None = Field(default=None, description="its unit")
    before: float | None = Field(default=None, description="the same gauge when the stage began, in the same unit")
    of: Annotated[int, Field(ge=1)] | None = Field(default=None, description="of how many brakes a count was made")
    stayed_s: Positive | None = Field(default=None, description="shortest time that a brake tried again stayed applied [s]")
    seen: bool | None = Field(default=None, description="of a lamp or bell: true where it was as it must be")


class GaugeGiven(_Part):
    """A gauge of a train that is not from a job."""

    at: End = Field(description="at which end")
    reads: Reads = Field(description="what it reads")
    range_low_bar: float = Field(default=0.0, description="lowest mark [bar gauge]")
    range_high_bar: float = Field(gt=0, description="highest mark [bar gauge]")
    graduation_bar: float = Field(gt=0, description="from mark to mark [bar]")
    accuracy_class_percent: float = Field(gt=0, le=5, description="greatest error [per cent of the highest mark]")


class TrainGiven(_Part):
    """A train that no job describes."""

    stock: Stock = Field(description="what kind of stock")
    releases: tuple[Release, ...] = Field(min_length=1, description="how its automatic brakes release")
    set_pressure_bar: float = Field(gt=0, lt=10, description="pressure that running keeps in the brake pipe [bar gauge]")
    length_m: float = Field(gt=0, description="from the leading cab to the rear [m]")
    brakes: int = Field(ge=0, description="how many brakes it has")
    electric_brake: bool = Field(default=False, description="true: an electro-pneumatic brake in every unit")
    gauges: tuple[GaugeGiven, ...] = Field(default=(), description="gauges that were read")
    devices: tuple[str, ...] = Field(default=(), description="devices in the path of the test, by names of one's own")
    named: dict[str, str] = Field(
        default={}, description="which of them is the `leading brake valve`, `rear brake valve`, `tail cock` or `tail hose`"
    )


class RecorderChannel(_Part):
    """A column of a recorder's file."""

    column: str = Field(min_length=1, description="heading of the column")
    at: End = Field(description="at which end it was taken")
    reads: Reads = Field(default="brake pipe", description="what it is")
    unit: Unit = Field(description="its unit")


class RecorderGiven(_Part):
    """A recorder's file with commas (CSV): its columns, units, clock, gaps and spikes. Lines without `shows` are read from it."""

    file: str = Field(min_length=1, description="the file, beside this one")
    time_column: str = Field(min_length=1, description="heading of the column of times")
    began: str | None = Field(default=None, description="clock time at which its seconds count from; none: it keeps clock times")
    clock_offset_s: float = Field(default=0.0, description="to be added to its times to get the readers' clock [s]")
    channels: tuple[RecorderChannel, ...] = Field(min_length=1, description="columns that are used")
    longest_gap_s: Positive = Field(description="longest time between samples over which a straight line is drawn [s]")
    spike_bar: Positive = Field(description="a lone sample so far from both its neighbours is left out, and said [bar]")


class TouchLine(_Part):
    """One touch of a device."""

    time: str = Field(description="when it was touched")
    clock: str | None = Field(default=None, description="whose clock")
    device: str = Field(min_length=1, description="the device, by its key in the job's `as_left`, or under `devices`")
    who: str = Field(min_length=1, description="who touched it")
    part_of: str = Field(default="", description="the touch of the method that it is, by its name; exempt once")


class AskedLine(_Part):
    """The answer to "touched since?"."""

    time: str = Field(description="when it was asked")
    clock: str | None = Field(default=None, description="whose clock")
    at: Literal["departure", "handover"] = Field(description="when it was asked: at departure or at handover")
    who: str = Field(min_length=1, description="who answered")
    touched: bool = Field(description="true: something in the path of the test was touched")


class ReadingsFile(_Part):
    """A whole record of a brake test."""

    title: str = Field(min_length=1, max_length=80, description="what the record is called")
    invented: bool = Field(description="true: made up for demonstration or training")
    job: str | None = Field(default=None, description="the job whose train was tested: a file beside this one, or a built-in one")
    train: TrainGiven | None = Field(default=None, description="the train, where no job describes it")
    units: tuple[str, ...] = Field(default=(), description="units as the readers wrote them; must be those of the job's train")
    method: str | None = Field(
        default=None, description="the method: a file beside this one, or a built-in one; that of the job if left out"
    )
    local_rules: str | None = Field(
        default=None, description="local rules, with `train`: a file beside this one, or built-in ones"
    )
    rules_edition: str = Field(description="edition of the local rules that the readers had")
    electric_brake_in_use: bool | None = Field(default=None, description="running test: was an electric brake in use")
    earlier_released: str | None = Field(default=None, description="begun anew: when the application before it was released")
    temperature_began_c: float | None = Field(
        default=None, gt=-60, lt=80, description="air in the pipe when a leak was watched, first [degrees Celsius]"
    )
    temperature_ended_c: float | None = Field(default=None, gt=-60, lt=80, description="the same at the end [degrees Celsius]")
    clocks: dict[str, float] = Field(default={}, description="clocks by name: seconds to add to each to get one clock [s]")
    recorder: RecorderGiven | None = Field(default=None, description="a recorder's file")
    readings: tuple[ReadingLine, ...] = Field(min_length=1, max_length=200, description="what was done and read, in order")
    touches: tuple[TouchLine, ...] = Field(default=(), description="touch log")
    touched_since: tuple[AskedLine, ...] = Field(default=(), description="answers at departure and handover")

    @model_validator(mode="after")
    def _one_train(self) -> ReadingsFile:
        if (self.job is None) == (self.train is None):
            raise ValueError("name a job or describe a train, one of the two")
        if self.train is not None and (self.method is None or self.local_rules is None):
            raise ValueError("with a train of its own the record names its method and its local_rules")
        if (self.temperature_began_c is None) != (self.temperature_ended_c is None):
            raise ValueError("give both temperatures, or none")
        return self


def load_readings(path: Path) -> ReadingsFile:
    """A record from a file, by its form alone. Raises InputError with every fault."""
    return load_as(read_document(path), ReadingsFile, "readings")
