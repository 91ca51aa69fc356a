"""How long looks take in the search for what is wrong, on the walk beside a train whose test failed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.sources import Entry

LookedWhere = Literal["end", "vehicle", "cab", "gauge"]
Seconds = Annotated[float, Field(gt=0, le=3600)]


class Looking(BaseModel):
    """What each look adds to the walk."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    end_s: Entry[Seconds] = Field(description="handles and hoses of a unit's end looked at while one comes by [s]")
    vehicle_s: Entry[Seconds] = Field(description="brake gear of a vehicle looked at and listened to while one comes by [s]")
    cab_s: Entry[Seconds] = Field(description="a cab entered, its valve and board looked at, and left [s]")
    gauge_s: Entry[Seconds] = Field(description="a gauge read again beside another [s]")

    def seconds(self, where: LookedWhere) -> float:
        """How long a look there takes [s]."""
        by_place = {"end": self.end_s, "vehicle": self.vehicle_s, "cab": self.cab_s, "gauge": self.gauge_s}
        return by_place[where].value


def _unsaid(value: float) -> Entry[Seconds]:
    return Entry[Seconds](value=value, source="none")


UNSAID = Looking(end_s=_unsaid(3), vehicle_s=_unsaid(6), cab_s=_unsaid(60), gauge_s=_unsaid(60))
"""Taken where local rules say nothing of it (common practice, no source)."""
