"""Conditions of a trigger: one fact each; all together as the span of values within which they hold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from math import inf, isfinite

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.local_rules.events import IS_NUMBER, FactName

Value = float | bool
Edge = tuple[float, int]
Spans = dict[str, tuple[Edge, Edge]]
"""Lowest and highest value of each fact; the second figure of an edge is 1 just above it, -1 just below, 0 on it."""

ANYTHING: tuple[Edge, Edge] = ((-inf, 0), (inf, 0))


class Condition(BaseModel):
    """One thing that must be so for an entry to fire: a number on one side of a limit, or something that is so or is not."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    fact: FactName = Field(description="what must be known, by its name below")
    over: float | None = Field(default=None, ge=0, description="more than this")
    at_least: float | None = Field(default=None, ge=0, description="this or more")
    under: float | None = Field(default=None, ge=0, description="less than this")
    at_most: float | None = Field(default=None, ge=0, description="this or less")
    so: bool | None = Field(default=None, description="for what is so or is not: which of the two")

    @model_validator(mode="after")
    def _says_one_thing(self) -> Condition:
        numbers = [number for number in (self.over, self.at_least, self.under, self.at_most) if number is not None]
        if self.fact in IS_NUMBER and (len(numbers) != 1 or self.so is not None):
            raise ValueError(f"{self.fact} is a number: say one of over, at_least, under, at_most")
        if self.fact not in IS_NUMBER and (numbers or self.so is None):
            raise ValueError(f"{self.fact} is so or is not: say so: true or so: false")
        return self

    def span(self) -> tuple[Edge, Edge]:
        """The values for which it holds; 1 for so, 0 for not so."""
        if self.so is not None:
            return (float(self.so), 0), (float(self.so), 0)
        if self.over is not None or self.at_least is not None:
            return ((self.over, 1) if self.over is not None else (self.at_least or 0.0, 0)), ANYTHING[1]
        return ANYTHING[0], ((self.under, -1) if self.under is not None else (self.at_most or 0.0, 0))

    def holds(self, value: Value) -> bool:
        """Whether it holds for a value."""
        low, high = self.span()
        return low <= (float(value), 0) <= high

    def words(self) -> str:
        """The condition in words: "stood_min over 60", "face_to_face not so"."""
        if self.so is not None:
            return f"{self.fact} {'so' if self.so else 'not so'}"
        names = ("over", "at_least", "under", "at_most")
        name = next(name for name in names if getattr(self, name) is not None)
        return f"{self.fact} {name.replace('_', ' ')} {getattr(self, name):g}"


def spans_of(conditions: Iterable[Condition]) -> Spans:
    """All conditions together, by fact."""
    spans: Spans = {}
    for condition in conditions:
        low, high = spans.get(condition.fact, ANYTHING)
        here = condition.span()
        spans[condition.fact] = (max(low, here[0]), min(high, here[1]))
    return spans


def can_hold(spans: Spans) -> bool:
    """Whether there are values for which all hold."""
    return all(low <= high for low, high in spans.values())


def both(first: Spans, second: Spans) -> Spans:
    """What holds where both do."""
    return {
        fact: (max(a[0], b[0]), min(a[1], b[1]))
        for fact in {**first, **second}
        for a, b in [(first.get(fact, ANYTHING), second.get(fact, ANYTHING))]
    }


def is_within(narrow: Spans, wide: Spans) -> bool:
    """Whether everything for which `narrow` holds also lies in `wide`."""
    return all(low <= here[0] and here[1] <= high for fact, (low, high) in wide.items() for here in [narrow.get(fact, ANYTHING)])


def unknown_of(conditions: Iterable[Condition], facts: Mapping[str, Value]) -> tuple[str, ...] | None:
    """Facts that must still be known; empty when all conditions hold, None when one of them does not."""
    missing: list[str] = []
    for condition in conditions:
        if condition.fact not in facts:
            missing.append(condition.fact)
        elif not condition.holds(facts[condition.fact]):
            return None
    return tuple(dict.fromkeys(missing))


def points_of(fact: str, conditions: Iterable[Condition]) -> tuple[Value, ...]:
    """A value from every range that the conditions on a fact tell apart."""
    if fact not in IS_NUMBER:
        return (True, False)
    edges = sorted({edge[0] for c in conditions if c.fact == fact for edge in c.span() if isfinite(edge[0])})
    between = [(low + high) / 2 for low, high in pairwise([0.0, *edges, edges[-1] + 2.0])]
    return (*edges, *between)
