"""What is told or entered when a job is done: one line each, filled in from the train where that is known."""

from __future__ import annotations

from string import Formatter
from typing import Final, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator

What = Literal[
    "length", "mass", "vehicles", "order of units", "braked percentage", "radio number", "doors for short platforms",
    "brakes isolated", "springs released by hand", "brake test", "restrictions", "time", "other",
]  # fmt: skip
WHAT: Final[dict[What, str]] = {
    "length": "length of the train, rounded up",
    "mass": "mass of the train in working order [t]",
    "vehicles": "how many vehicles it has",
    "order of units": "its units in order, the one that leads first",
    "braked percentage": "braked weight over mass [per cent]; unit types do not say it, so it is left to fill in",
    "radio number": "under which the train is called; left to fill in",
    "doors for short platforms": "which doors open where the platform is short; left to fill in",
    "brakes isolated": "vehicles whose brake is isolated, or none",
    "springs released by hand": "vehicles whose parking brake was released by hand, or none",
    "brake test": "which method was used; the readings are on the sheet",
    "restrictions": "what the train may not do as it is joined, or none",
    "time": "when the job was done; left to fill in",
    "other": "anything else, in the rules' own words",
}
BLANK: Final = "_______"
"""Where somebody writes by hand what the program does not know."""


class Afterwards(BaseModel):
    """One line: what, told or entered, to whom or where, in words with {value} where it is filled in."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    what: What = Field(description="what is passed on, by name")
    how: Literal["told", "entered"] = Field(description="said to somebody, or written or keyed in somewhere")
    to: str = Field(min_length=2, max_length=40, description="to whom, or into what: `yard control`, `train radio`")
    words: str = Field(min_length=2, max_length=120, description="the words, with {value} where it is filled in")

    @field_validator("words")
    @classmethod
    def _only_value_is_filled_in(cls, words: str) -> str:
        try:
            parts = list(Formatter().parse(words))
        except ValueError:
            raise ValueError("a curly bracket stands alone; filled in is {value}, {{ or }} is a bracket") from None
        wrong = [name for _, name, form, how in parts if name is not None and (name != "value" or form or how)]
        if wrong:
            raise ValueError(f"{{{wrong[0]}}} is not filled in here; filled in is {{value}}")
        return words

    @property
    def asks_value(self) -> bool:
        """Whether something is filled in."""
        return any(name == "value" for _, name, _, _ in Formatter().parse(self.words))

    def filled(self, value: str | None) -> str:
        """The words with the value, or with a blank where it is not known."""
        return self.words.format(value=BLANK if value is None else value)
