"""How yard control calls whoever has the road when another movement wants it. Practised in exercises."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from headstock.base.sources import Entry
from headstock.local_rules.rule_part import Positive, RulePart


class YardCalls(RulePart):
    """When it calls again, and how often in all: silence gives no road."""

    again_after_s: Entry[Positive] = Field(description="how long after a call that nobody answered it calls again [s]")
    most: Entry[Annotated[int, Field(ge=1, le=20)]] = Field(description="how often it calls in all, and then lets it be")


UNSAID = YardCalls(again_after_s=Entry[float](value=60.0, source="none"), most=Entry[int](value=3, source="none"))
"""Taken where local rules say nothing of it (common practice, no source)."""
