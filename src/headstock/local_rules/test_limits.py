"""Limits of brake tests: those of the local rules and those that a method states itself. Of two the stricter one counts."""

from __future__ import annotations

from typing import Annotated, Final, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.sources import Entry

Limit = Literal[
    "charged_at_least_bar", "rear_full_at_most_bar", "front_full_at_most_bar", "rise_at_most_bar",
    "below_set_at_most_bar", "step_at_least_bar", "leak_at_most_bar_per_min", "flow_at_most_l_per_min",
    "cylinder_applied_at_least_bar", "cylinder_fall_at_most_bar", "cylinder_released_at_most_bar",
    "applied_share_at_least", "released_share_at_least", "speed_fall_at_least_kmh",
]  # fmt: skip
Wait = Literal["charge_at_least_s", "no_rise_watch_s", "settle_at_least_s", "hold_at_least_s", "leak_watch_s", "tail_open_s"]
WAITS: Final[tuple[Wait, ...]] = get_args(Wait)
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]
Share = Annotated[float, Field(gt=0, le=1)]


class FurtherLimits(BaseModel):
    """Limits that only some methods name: pressures [bar, gauge] and differences [bar], flow, counts, times [s]."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    below_set_at_most_bar: Entry[Positive] | None = Field(
        default=None, description="how far the rear gauge may be below the leading valve's set pressure [bar]"
    )
    step_at_least_bar: Entry[Positive] | None = Field(
        default=None, description="how far the gauge must have fallen in a step of application [bar]"
    )
    leak_at_most_bar_per_min: Entry[Positive] | None = Field(
        default=None, description="how fast the pipe may fall with the feed cut off [bar per minute]"
    )
    flow_at_most_l_per_min: Entry[Positive] | None = Field(
        default=None, description="free air that may flow into the charged pipe [l per minute]"
    )
    cylinder_applied_at_least_bar: Entry[Positive] | None = Field(
        default=None, description="brake cylinder of the rear unit after an electric application [bar gauge]"
    )
    cylinder_fall_at_most_bar: Entry[NotNegative] | None = Field(
        default=None, description="how far that cylinder may fall while the brake is held [bar]"
    )
    cylinder_released_at_most_bar: Entry[NotNegative] | None = Field(
        default=None, description="that cylinder after the release [bar gauge]"
    )
    applied_share_at_least: Entry[Share] | None = Field(
        default=None, description="brakes found applied, of those that the train has [-]"
    )
    released_share_at_least: Entry[Share] | None = Field(
        default=None, description="brakes found released, of those that the train has [-]"
    )
    speed_fall_at_least_kmh: Entry[Positive] | None = Field(
        default=None, description="how far the speed must fall in a running test [km/h]"
    )
    settle_at_least_s: Entry[Positive] | None = Field(
        default=None, description="wait after an application before a fall or rise counts [s]"
    )
    hold_at_least_s: Entry[Positive] | None = Field(default=None, description="how long brakes must stay applied [s]")
    leak_watch_s: Entry[Positive] | None = Field(default=None, description="how long a leak is watched [s]")
    tail_open_s: Entry[Positive] | None = Field(default=None, description="how long the tail cock stays open [s]")


class Limits(FurtherLimits):
    """Limits of the brake test [bar, gauge] and [s]; a method names them."""

    charged_at_least_bar: Entry[Positive] = Field(description="a charged brake pipe, at the rear [bar gauge]")
    rear_full_at_most_bar: Entry[NotNegative] = Field(description="the rear gauge after a full application [bar gauge]")
    front_full_at_most_bar: Entry[NotNegative] = Field(
        description="the leading gauge after a full application from the rear [bar gauge]"
    )
    rise_at_most_bar: Entry[NotNegative] = Field(description="how far the leading gauge may rise while it is watched [bar]")
    no_rise_watch_s: Entry[Positive] = Field(description="how long it is watched [s]")
    charge_at_least_s: Entry[Positive] = Field(description="least time for charging [s]")


class OwnLimits(FurtherLimits):
    """Limits that a method states itself, as published ones; where the local rules have one too, the stricter counts."""

    charged_at_least_bar: Entry[Positive] | None = Field(
        default=None, description="a charged brake pipe, at the rear [bar gauge]"
    )
    rear_full_at_most_bar: Entry[NotNegative] | None = Field(
        default=None, description="the rear gauge after an application [bar gauge]"
    )
    front_full_at_most_bar: Entry[NotNegative] | None = Field(
        default=None, description="the leading gauge after an application from the rear [bar gauge]"
    )
    rise_at_most_bar: Entry[NotNegative] | None = Field(
        default=None, description="how far a gauge may rise while it is watched [bar]"
    )
    no_rise_watch_s: Entry[Positive] | None = Field(default=None, description="how long it is watched [s]")
    charge_at_least_s: Entry[Positive] | None = Field(default=None, description="least time for charging [s]")


def stricter(name: str, here: Entry[float] | None, there: Entry[float] | None) -> Entry[float] | None:
    """Of two values of one limit the stricter; a time is the stricter the longer it is."""
    if here is None or there is None:
        return here or there
    largest = "at_least" in name or name.endswith("_s")
    return (max if largest else min)(here, there, key=lambda entry: entry.value)


def with_own_limits(limits: Limits, own: OwnLimits) -> Limits:
    """The limits that decide when a method is used under local rules."""
    named = {name: stricter(name, getattr(limits, name), getattr(own, name)) for name in type(limits).model_fields}
    return limits.model_copy(update=named)
