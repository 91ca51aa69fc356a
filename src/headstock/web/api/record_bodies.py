"""What is sent to be put on record."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.web.api.bodies import FileText, WithFiles, Word

LongWords = Annotated[str, Field(min_length=1, max_length=2000)]
When = Annotated[str | None, Field(max_length=19, description="YYYY-MM-DD HH:MM:SS on the clock of the place; now if not given")]


class _Sent(BaseModel):
    model_config = ConfigDict(extra="forbid")


class TouchSent(_Sent):
    """A touch of a device."""

    device: Word = Field(description="device by its key, such as 217/2.brake_pipe_cock")
    who: Word = Field(description="who it was, or who says so")
    when: When = None
    test: Word | None = Field(default=None, description="the test whose device it is, where no job describes the train")
    part_of: Annotated[str, Field(max_length=200)] = Field(default="", description="the touch of the method that it is")


class NoteSent(_Sent):
    """A note."""

    kind: Literal["job", "defect", "isolation", "sheet", "correction"] = Field(description="what it is")
    text: LongWords = Field(description="in words")
    who: Word = Field(description="who says so")
    when: When = None
    units: Annotated[list[Word], Field(max_length=24)] = Field(default=[], description="units that it is about")
    about: Word | None = Field(default=None, description="entry that it is about; a correction must have one")


class TestSent(WithFiles):
    """A brake test."""

    __test__ = False

    readings: FileText = Field(description="text of the readings file")
    date: Annotated[str, Field(max_length=10)] | None = Field(default=None, description="day of the test, if its times have none")
    people: FileText | None = Field(default=None, description="list of people: all must be on it, in date")
    corrects: Word | None = Field(default=None, description="code or number of the test that it corrects")
