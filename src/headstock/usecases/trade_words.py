"""Words of the trade as one's own people write them: what means the same, what means the opposite, what is no step.

They serve the matching of written lines to known steps, and nothing else: no rule of the trade rests on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

from headstock.base.documents import read_document
from headstock.base.loading import load_as
from headstock.usecases.job_file import CrewRole

BUILT_IN: Final = Path(__file__).parent / "words" / "wending-vale.yaml"


class TradeWords(BaseModel):
    """Words with which lines of a plain text instruction are matched to steps."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=1, description="whose words these are")
    edition: str = Field(description="edition of these words")
    invented: bool = Field(description="true: made up for demonstration")
    roles: dict[CrewRole, tuple[str, ...]] = Field(description="how each role is called at the beginning of a line, letters too")
    same: dict[str, tuple[str, ...]] = Field(
        description="words and groups of words that mean the same: all ways of saying it, by the word that the steps use"
    )
    opposites: tuple[tuple[str, str], ...] = Field(
        description="pairs of which one never stands for the other, though all other words agree"
    )
    negations: tuple[str, ...] = Field(description="words that turn a line round: it is never taken for the step itself")
    conditions: tuple[str, ...] = Field(description="words that put a line off to another time: it is always doubtful")
    small: tuple[str, ...] = Field(description="words that a line may have or lack and still be taken for sure")
    idle: tuple[str, ...] = Field(description="words that say nothing about which step is meant")
    remarks: tuple[str, ...] = Field(description="words before a colon that make a line a remark and no step")

    @field_validator("roles", "same")
    @classmethod
    def _each_word_once(cls, groups: dict[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        seen: dict[str, str] = {}
        for meaning, words in groups.items():
            for word in words:
                other = seen.setdefault(word.casefold(), meaning)
                if other != meaning:
                    raise ValueError(f"'{word}' is given to two meanings: {other} and {meaning}")
        return groups

    @field_validator("roles", "same", "opposites", "negations", "conditions", "small", "idle", "remarks")
    @classmethod
    def _words_have_letters(cls, value: Any) -> Any:
        for word in _every_word(value):
            if not any(sign.isalpha() for sign in word):
                raise ValueError(f"'{word}' is no word")
        return value

    @model_validator(mode="after")
    def _opposites_are_single(self) -> TradeWords:
        groups = {way for meaning, ways in self.same.items() for way in (meaning, *ways)}
        for word in _every_word(self.opposites):
            if not word.isalpha() and word not in groups:
                raise ValueError(f"'{word}' under opposites is more than one word and no group under same")
        return self


def _every_word(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield key
            yield from _every_word(inner)
    else:
        for inner in value:
            yield from _every_word(inner)


def load_trade_words(path: Path) -> TradeWords:
    """Words from a file. Raises InputError with every fault."""
    return load_as(read_document(path), TradeWords, "trade words")
