"""How a railway fetches a portion without air of its own, and whether one without any brake in use may be hauled at all."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.sources import Entry

Positive = Annotated[float, Field(gt=0)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class UnbrakedHaul(_Part):
    """Hauling a portion of which no automatic brake is in use: whether, by which written method, and within what."""

    allowed: Entry[bool] = Field(description="whether it is done at all")
    method: Entry[Annotated[str, Field(min_length=3)]] = Field(description="the written method that it is done by, by its name")
    mass_share_at_most: Entry[Positive] = Field(
        description="most that the unbraked units may weigh, over all units of the train whose brake is in use [-]"
    )
    speed_at_most_kmh: Entry[Positive] = Field(description="greatest speed [km/h]")
    gradient_at_most_per_mille: Entry[Annotated[float, Field(ge=0, le=150)]] = Field(
        description="steepest gradient on which it is done [per mille]; the place of the job is held against it"
    )
    second_person: Entry[bool] = Field(
        description="whether somebody rides in the unbraked units by hand or parking brakes that can be put on there"
    )


class RescueRules(_Part):
    """The rescue of a portion without air of its own."""

    propelled: Entry[bool] = Field(description="whether the rescued portion may lead, pushed by the other")
    rides_along: Entry[bool] = Field(description="whether somebody rides in the rescued portion who can put a brake on again")
    rides_along_says: Entry[str] = Field(description="that person, to the driver; nothing is filled in")
    unbraked: UnbrakedHaul | None = Field(
        default=None, description="hauling units of which every brake is isolated; without it that is refused"
    )
