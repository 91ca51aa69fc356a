"""The people file: who may do or read a brake test, and from when until when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.documents import read_document
from headstock.base.loading import load_as

BUILT_IN = Path(__file__).parent / "people"


class PersonGiven(BaseModel):
    """One person; written as in the record."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, description="name, as records write it")
    since: date = Field(description="first day in date, `YYYY-MM-DD` in quotes")
    until: date = Field(description="last day in date, `YYYY-MM-DD` in quotes")

    @model_validator(mode="after")
    def _in_order(self) -> PersonGiven:
        if self.until < self.since:
            raise ValueError("the last day comes before the first")
        return self


class PeopleFile(BaseModel):
    """Who is in date."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    title: str = Field(min_length=1, max_length=80, description="what the list is called")
    edition: str = Field(min_length=1, description="edition of the list, which records name")
    invented: bool = Field(description="true: made up for demonstration or training")
    people: tuple[PersonGiven, ...] = Field(min_length=1, description="everybody who may")

    def why_not(self, names: Iterable[str], day: date) -> Iterator[str]:
        """Why somebody may not, on that day."""
        for name in dict.fromkeys(names):
            own = [person for person in self.people if person.name == name]
            if not own:
                yield f"{name} is not on {self.title}, edition {self.edition}"
            elif not any(person.since <= day <= person.until for person in own):
                spans = " and ".join(f"{person.since} to {person.until}" for person in own)
                yield f"{name} was not in date on {day}, but from {spans}"


def load_people(path: Path) -> PeopleFile:
    """A list from a file. Raises InputError with every fault."""
    return load_as(read_document(path), PeopleFile, "people")
