"""What is sent with the questions of the API."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

FileText = Annotated[str, StringConstraints(max_length=500_000)]
Word = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Words = Annotated[list[Word], Field(max_length=40)]


class WithFiles(BaseModel):
    """Files that a question's own file names."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)
    needs_job: ClassVar[bool] = False

    job: FileText | None = Field(default=None, description="text of a job file")
    code: Word | None = Field(default=None, description="instead: code of a job on the book")
    files: Annotated[dict[Word, FileText], Field(max_length=12)] = Field(
        default={}, description="text by name of what the file names beside it: place, local rules, method, a recorder's table"
    )


class JobAsked(WithFiles):
    """A question about a job."""

    needs_job: ClassVar[bool] = True


class PlanAsked(JobAsked):
    """The order of work; or how it is broken off or handed over."""

    stop_after: int | None = Field(default=None, ge=0, le=500, description="broken off after this line")
    relief: Word | None = Field(default=None, description="with stop_after: who is relieved, ROLE=NAME")


class CheckAsked(JobAsked):
    """A written instruction against a job."""

    instruction: FileText = Field(description="the instruction: a file of ours, or numbered plain text")
    words: FileText | None = Field(default=None, description="your own trade words, for a plain text")


class MistakesAsked(JobAsked):
    """Mistakes in a job."""

    pairs: bool = Field(default=False, description="also every two mistakes together")
    plausible: int = Field(default=2, ge=1, le=3, description="pairs of mistakes at least so plausible")
    top: int = Field(default=10, ge=1, le=50, description="how many of the worst pairs")
    plausibility: FileText | None = Field(default=None, description="your own ranks of plausibility")


class ForecastAsked(JobAsked):
    """What the gauges will show."""

    faults: Words = Field(default=[], description="KEY=VALUE,... that stand otherwise")
    method: Word | None = Field(default=None, description="method instead of the job's: built in, or sent")
    members: int = Field(default=200, ge=40, le=400, description="healthy trains drawn for the band")
    drawn: FileText | None = Field(default=None, description="your own ranges of healthy trains")


class CanAsked(JobAsked):
    """What the train can do."""

    speed: float | None = Field(default=None, description="speed at which a lost brake is reckoned [km/h]")
    keep: float | None = Field(default=None, description="distance to stop within [m]")
    profile: Word | None = Field(default=None, description="gradients ahead, METRES:PER MILLE,...")
    platform: float | None = Field(default=None, description="length of the platform to fit [m]")
    signal: float | None = Field(default=None, description="length to the signal to fit [m]")
    curve_radius: float | None = Field(default=None, description="radius of the curve [m]")
    leak_off: float | None = Field(default=None, description="for investigators: leak of each cylinder [mm2]")


class JudgeAsked(WithFiles):
    """The readings of a brake test; the job that they name is one of `files`, or `job` or `code` under the name `job.yaml`."""

    readings: FileText = Field(description="text of the readings file")
    at: Literal["departure", "handover"] | None = Field(default=None, description="also ask: touched since?")
    forecast: bool = Field(default=False, description="also remark on what a forecast did not expect")


class FindAsked(WithFiles):
    """The readings of a failed brake test."""

    readings: FileText = Field(description="text of the readings file, which names its job")
    start: Literal["front", "rear"] = Field(default="rear", description="where the walk begins")
    there: Words = Field(default=[], description="what was found, in the answer's words")
    not_there: Words = Field(default=[], description="what was looked for and is not there")
    drawn: FileText | None = Field(default=None, description="your own ranges and plausibilities")


class DueAsked(WithFiles):
    """What happened."""

    events: Words = Field(default=[], description="what happened, by name")
    facts: Words = Field(default=[], description="NAME=VALUE that is known")
    triggers: Word | None = Field(default=None, description="trigger set: built in, or sent")


class CoupleAsked(WithFiles):
    """Signs of a couple that is half made."""

    family: Word | None = Field(default=None, description="kind of couple; automatic coupler if not given")
    signs: Words = Field(default=[], description="NAME=VALUE that was seen")


class TrackAsked(WithFiles):
    """By which rules and on which track ends are to meet."""

    local_rules: Word = Field(default="wending-vale", description="local rules: built in, or sent")
    place: Word | None = Field(default=None, description="place whose curve counts: built in, or sent")
    curve_radius: float | None = Field(default=None, description="radius of the curve at the joint [m]; straight without")
    curve: Word | None = Field(default=None, description="how it bends: one curve, end of a curve, reverse curve")


class JoinAsked(TrackAsked):
    """Two ends."""

    first: Word = Field(description="TYPE/1, or UNIT/1 with a job")
    second: Word = Field(description="TYPE/2, or UNIT/2 with a job")


class TableAsked(TrackAsked):
    """A fleet, or some of its types."""

    types: Words = Field(default=[], description="only these types")


class TypesSent(BaseModel):
    """Unit type files to check."""

    model_config = ConfigDict(extra="forbid")

    files: Annotated[dict[Word, FileText], Field(min_length=1, max_length=24)] = Field(description="text by name")
