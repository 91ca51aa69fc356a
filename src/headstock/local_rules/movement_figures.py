"""Figures by which local rules judge a movement: the running test, the pull that proves a joint, hauling."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.base.sources import Entry


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class RunningTestFigures(_Part):
    """Between which speeds the running test is made."""

    from_kmh: Entry[Annotated[float, Field(gt=0, le=160)]] = Field(description="the brake is called for at this speed [km/h]")
    to_kmh: Entry[Annotated[float, Field(ge=0, le=160)]] = Field(description="and let off at this one [km/h]")

    @model_validator(mode="after")
    def _it_slows(self) -> RunningTestFigures:
        if self.to_kmh.value >= self.from_kmh.value:
            raise ValueError("to_kmh must be below from_kmh: the test slows the train")
        return self


class PullFigures(_Part):
    """When a pull proves a joint: had it not closed, the hauling portion would have been seen to move off."""

    seen_m: Entry[Annotated[float, Field(gt=0, le=5)]] = Field(description="movement that one beside the train cannot miss [m]")
    least_net_n_per_kg: Entry[Annotated[float, Field(gt=0, le=1)]] = Field(
        description="net force on the hauling portion below which it might not move off though free [N per kg]"
    )
    longest_s: Entry[Annotated[float, Field(gt=0, le=120)]] = Field(description="a pull is held no longer than this [s]")


class HaulFigures(_Part):
    """What a start with a hauled portion must give, and what it may count on."""

    start_m_s2: Entry[Annotated[float, Field(gt=0, le=1)]] = Field(description="least acceleration at starting [m/s2]")
    adhesion: Entry[Annotated[float, Field(gt=0, le=0.4)]] = Field(description="adhesion that pulling may count on [-]")
