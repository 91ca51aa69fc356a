"""How plausible each kind of mistake is taken to be: an order of three, no probability; nobody has counted."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.loading import load_as

BUILT_IN = Path(__file__).parent / "plausibility"
DEMONSTRATION = BUILT_IN / "demonstration.yaml"
Rank = Annotated[int, Field(ge=1, le=3)]


class MistakePlausibility(BaseModel):
    """Rank 1, 2 or 3 of each kind of mistake, 3 the most plausible."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, description="what the list is called")
    edition: str = Field(min_length=1, description="edition, which answers name")
    invented: bool = Field(description="whether it is invented for demonstration")
    note: str = Field(min_length=20, description="on what the ranks rest, in words; answers say it")
    left_out: Rank = Field(description="a step left out, 1 to 3")
    not_really_looked: Rank = Field(description="a look said to have been made, but not really made, 1 to 3")
    partly_done: Rank = Field(description="a step of which only a part is done, or whose sign is not won, 1 to 3")
    not_said: Rank = Field(description="done, but not said to whoever must know, 1 to 3")
    wrong_object: Rank = Field(description="done on another thing of the same end, or at another vehicle, 1 to 3")
    wrong_end: Rank = Field(description="done at another end, 1 to 3")
    moved_past_one_step: Rank = Field(description="too early or too late by one step that matters to it, 1 to 3")
    moved_past_more: Rank = Field(description="too early or too late by more such steps, 1 to 3")


def load_mistake_plausibility(path: Path) -> MistakePlausibility:
    """The ranks in a file. Raises InputError with every fault."""
    return load_as(read_document(path), MistakePlausibility, "mistake plausibility")
