"""A method of testing the brake: stages with who acts, where, which position, what must be seen, within which limit."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import read_document
from headstock.base.errors import ContentError
from headstock.base.loading import load_as
from headstock.base.sources import Source, missing_source_keys

BUILT_IN = Path(__file__).parent / "methods"
End = Literal["front", "rear"]
Limit = Literal["charged_at_least_bar", "rear_full_at_most_bar", "front_full_at_most_bar", "rise_at_most_bar"]

Wait = Literal["charge_at_least_s", "no_rise_watch_s"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ValveMove(_Part):
    """A valve is moved: at which end of the train, from which function to which."""

    at: End = Field(description="the leading cab, or the rear one")
    before: Literal["running", "lap", "full", "empty", "locked"] = Field(description="what the valve does before")
    after: Literal["running", "lap", "full", "empty", "locked"] = Field(description="what it is moved to")


class Reading(_Part):
    """A gauge is read: at which end, and the limit of the local rules that decides."""

    at: End = Field(description="the leading cab's gauge, or the rear one's")
    limit: Limit = Field(description="name of the limit in the local rules that decides")
    name: str = Field(min_length=3, max_length=24, description="what the reading is called on sheets, 3 to 24 letters")


class Stage(_Part):
    """One stage. ``waits`` names the limit [s] that it lasts; the pipe stands ``charged`` or ``drawn`` when it has ended."""

    key: str = Field(pattern=r"^[a-z][a-z ]*$", description="name of the stage, in small letters")
    says: str = Field(min_length=3, description="what is done, in words")
    valve: ValveMove | None = Field(default=None, description="the valve that is moved, if one is")
    reading: Reading | None = Field(default=None, description="the gauge that is read at the end, if one is")
    allowance: str = Field(description="name of the time for it in the local rules' `allowances_s`")
    waits: Wait | None = Field(default=None, description="name of the local rules' limit [s] that it lasts besides")
    leaves_pipe: Literal["charged", "drawn"] = Field(description="how the brake pipe stands when it has ended")
    source: str = Field(description="key in `sources`")

    @model_validator(mode="after")
    def _does_something(self) -> Stage:
        if self.valve is None and self.reading is None:
            raise ValueError("a stage must move a valve or read a gauge")
        if self.valve is not None and self.valve.before == self.valve.after:
            raise ValueError(f"the valve is moved from {self.valve.before} to where it already is")
        if self.valve is not None and self.reading is not None and self.valve.at != self.reading.at:
            raise ValueError("one stage is done at one end: move the valve and read the gauge in two stages")
        return self

    @property
    def at(self) -> End:
        """The end of the train at which the stage is done."""
        return self.valve.at if self.valve is not None else self.reading.at  # type: ignore[union-attr]


class BrakeTestMethod(_Part):
    """A whole method."""

    name: str = Field(min_length=1, description="what the method is called")
    edition: str = Field(min_length=1, description="edition, which sheets name")
    sources: dict[str, Source] = Field(min_length=1, description="where the method comes from, by a key of one's own")
    shows: tuple[str, ...] = Field(min_length=1, description="what a passed test shows, in words")
    cannot_show: tuple[str, ...] = Field(min_length=1, description="what it can never show, in words; sheets say it")
    stages: tuple[Stage, ...] = Field(min_length=2, max_length=30, description="the stages in order")

    @model_validator(mode="after")
    def _stages_have_their_own_names(self) -> BrakeTestMethod:
        keys = [stage.key for stage in self.stages]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"stages must have names of their own; twice: {', '.join(twice)}")
        return self


def load_test_method(path: Path) -> BrakeTestMethod:
    """A method from a file. Raises InputError with every fault."""
    document = read_document(path)
    method = load_as(document, BrakeTestMethod, "test method")
    unlisted = missing_source_keys(method, method.sources).faults(document, method.sources)
    if unlisted:
        raise ContentError(unlisted)
    return method
