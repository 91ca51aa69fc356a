"""How one comes up, what counts as held meanwhile, how often a couple is tried."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from headstock.base.sources import Entry
from headstock.local_rules.rule_part import Positive, RulePart

Family = Literal["drop-head knuckle", "hook and screw", "rigid knuckle", "automatic coupler"]


class Approach(RulePart):
    """Approach: where the moving portion waits, the stops on the way [m before the joint], speeds [km/h]."""

    waits_m: Entry[Positive] = Field(description="where the moving portion waits while the ends are dressed [m before the joint]")
    stops_m: Entry[dict[str, tuple[Positive, ...]]] = Field(
        description="where it stops on the way [m before the joint], nearer each time, by kind of coupler"
    )
    join_speed_kmh: Entry[Positive] = Field(description="most at which the ends may touch [km/h]")
    counted_down_m: Entry[tuple[Positive, ...]] = Field(
        description="distances called out on the way, nearer each time [m before the joint]; an empty list: none are"
    )
    lost_contact: Entry[Literal["stop"]] = Field(
        description="what lost sight, or no word for longer than `words.lost_contact` says, means: nothing but stop"
    )

    @field_validator("counted_down_m")
    @classmethod
    def _count_comes_closer(cls, entry: Entry[tuple[float, ...]]) -> Entry[tuple[float, ...]]:
        if list(entry.value) != sorted(set(entry.value), reverse=True):
            raise ValueError(f"distances counted down must come closer and closer; found {list(entry.value)}")
        return entry

    @field_validator("stops_m")
    @classmethod
    def _stops_come_closer(cls, entry: Entry[dict[str, tuple[float, ...]]]) -> Entry[dict[str, tuple[float, ...]]]:
        for family, stops in entry.value.items():
            if list(stops) != sorted(stops, reverse=True) or not stops or len(set(stops)) < len(stops):
                raise ValueError(f"stops for {family} must come closer and closer, at least one; found {list(stops)}")
        return entry


class Holding(RulePart):
    """Margin [-] of hand and parking brakes, adhesion [-], least count, seconds one watches, and what keeps a proof."""

    margin: Entry[Annotated[float, Field(ge=1, le=5)]] = Field(
        description="what hand and parking brakes must give over what the hill pulls [-]"
    )
    adhesion: Entry[Annotated[float, Field(ge=0.001, le=0.4)]] = Field(
        description="share of the weight on braked wheels that counts as grip [-]"
    )
    least_count: Entry[Annotated[int, Field(ge=1, le=50)]] = Field(description="fewest brakes put on, whatever the hill")
    watch_s: Entry[Positive] = Field(description="how long one watches a portion to see that it stands [s]")
    proof_outlasts_release: Entry[bool] = Field(
        description="whether a hold once proved stays proved when its brakes come off and the same ones go on again"
    )
    own_brakes_seen: Entry[bool] | None = Field(
        default=None,
        description="whether each brake that then holds the moving portion is seen on before its driver works outside the cab "
        "that it is driven from; left out: not asked",
    )


Tries = Annotated[int, Field(ge=1, le=9)]


class CoupleTries(RulePart):
    """How often an automatic couple is tried before it is called a failure."""

    from_one_cab: Entry[Tries] = Field(description="tries to join from the cab in use")
    from_the_other_cab: Entry[Tries] = Field(description="further tries from the other portion's cab, it moving")
    of_the_release: Entry[Tries] = Field(description="presses of the button before the latch is turned by hand")
