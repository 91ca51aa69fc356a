"""What local rules ask for when a job is broken off, or handed to a relief, half done."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator

from headstock.base.sources import Entry
from headstock.local_rules.filled_words import only_filled

Boarded = Literal["each portion", "standing portion", "nothing"]
LookedAt = Literal["hand and parking brakes", "couple"]
FILLED_IN = {"road_back": frozenset({"joint"}), "taken_over": frozenset({"name", "role"})}


class BrokenOff(BaseModel):
    """Boards, what a relief looks at again, and words. Protection is never handed over, whatever stands here."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    boards_on: Entry[Boarded] = Field(description="what gets a not-to-be-moved board when a job is broken off")
    relief_looks_at: Entry[tuple[LookedAt, ...]] = Field(
        description="what a relief must look at again as far as his role has such a look, however well it was told"
    )
    stop: Entry[str] = Field(description="who is in charge, to everybody: the job is broken off")
    left: Entry[str] = Field(description="who is in charge, to everybody, when all stands held and nobody is in")
    road_back: Entry[str] = Field(description="who is in charge, to the yard control; {joint} is filled in")
    taken_over: Entry[str] = Field(description="a relief, to everybody; {name} and {role} are filled in")

    @field_validator("stop", "left", "road_back", "taken_over")
    @classmethod
    def _only_what_is_filled_in(cls, entry: Entry[str], info: ValidationInfo) -> Entry[str]:
        only_filled(entry.value, FILLED_IN.get(info.field_name or "", frozenset()))
        return entry


def _unsaid(value: str) -> Entry[str]:
    return Entry[str](value=value, source="none")


UNSAID = BrokenOff(
    boards_on=Entry[Boarded](value="nothing", source="none"),
    relief_looks_at=Entry[tuple[LookedAt, ...]](value=("hand and parking brakes",), source="none"),
    stop=_unsaid("Stop. Nobody moves, nobody goes in. Say where you are."),
    left=_unsaid("Job broken off. Both portions held, nobody in. Nothing is moved before it is agreed anew."),
    road_back=_unsaid("Job at {joint} broken off. The train stands on the road, held. Nothing more is moved by us."),
    taken_over=_unsaid("{name} is the {role} from now on."),
)
"""Taken, and said, where local rules say nothing of it."""
