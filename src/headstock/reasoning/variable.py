"""Variables: the things that can stand one way or another, and facts about them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Fact = tuple[str, str]
"""(variable key, value): that this variable has this value."""

Kind = Literal["device", "scene", "person", "fault"]


@dataclass(frozen=True, slots=True)
class Variable:
    """One thing with a finite set of values.

    ``sign`` marks a value that hands do not tell (a lock seen down): it must be looked at. ``fresh`` marks knowledge that
    ages: it is lost when the one who looked leaves the closed place, and for everybody when something moves.
    """

    key: str
    domain: tuple[str, ...]
    kind: Kind
    label: str
    sign: bool = False
    fresh: bool = False
    phrases: tuple[tuple[str, str], ...] = ()

    def say(self, value: str) -> str:
        """The fact in words a person would use."""
        for known, phrase in self.phrases:
            if known == value:
                return phrase
        return f"{self.label} {value.replace('_', ' ')}"


def index_by_key(variables: tuple[Variable, ...]) -> dict[str, Variable]:
    """Variables by key; a key given twice is a fault of the model."""
    table: dict[str, Variable] = {}
    for variable in variables:
        if variable.key in table:
            raise ValueError(f"variable {variable.key} is declared twice")
        table[variable.key] = variable
    return table
