"""Looks that could be added to a brake test, how long each takes, and which kinds of fault it shows for sure."""

from __future__ import annotations

from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.loading import load_as
from headstock.local_rules.drawn_tests import FaultKind

BUILT_IN = Path(__file__).parent / "looks"
DEMONSTRATION = BUILT_IN / "demonstration.yaml"


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ExtraLook(_Part):
    """One look."""

    name: str = Field(min_length=3, description="what is looked at or done")
    minutes: float = Field(gt=0, description="how long it takes [min]")
    shows: tuple[FaultKind, ...] = Field(min_length=1, description="kinds of fault that it shows, wherever they are")


class ExtraLooks(_Part):
    """A whole file."""

    name: str = Field(min_length=1, description="what the list is called")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="whether it is invented for demonstration")
    note: str = Field(min_length=20, description="on what it rests, in words; answers say it")
    looks: tuple[ExtraLook, ...] = Field(min_length=1, description="the looks")


def load_extra_looks(path: Path) -> ExtraLooks:
    """The file. Raises InputError with every fault."""
    return load_as(read_document(path), ExtraLooks, "extra looks")
