"""The way to walk and look: places in order with the least expected time until the cause is seen; nothing is walked past."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.look_places import IN_PASSING, SEEN_AT, LookPlace, look_places
from headstock.reasoning.next_look import MOST, Look, plan_looks

HARDLY = 1e-6
"""That it is something else altogether, beside the suspects: so that the last one too is looked at, not taken for granted."""


@dataclass(frozen=True, slots=True)
class LookWalk:
    """Places in order, the expected time [min] until it is found or all is looked at, and suspects that no look shows.

    ``left_out``: suspects that the order does not reckon with, being least likely; they are looked for where one comes by.
    """

    places: tuple[LookPlace, ...]
    expected_min: float
    not_shown: tuple[Cause, ...]
    left_out: tuple[Cause, ...] = ()


def walk_of(air: AirUnderTest, weights: Mapping[Cause, float], start_m: float, walking_m_s: float) -> LookWalk:
    """The walk from a place [m from the front] for causes suspected so much."""
    suspects = sorted(weights, key=lambda cause: -weights[cause])
    seen = [cause for cause in suspects if cause.kind in SEEN_AT]
    blind = tuple(cause for cause in suspects if cause not in seen and cause != NOTHING)
    reckoned, left_out = seen[: MOST - 1], tuple(seen[MOST - 1 :])
    if not reckoned:
        return LookWalk((), 0.0, blind)
    places = look_places(air, reckoned)
    # What no look shows, and that nothing is wrong, is one lot: looking cannot part it.
    elsewhere = sum(weights[cause] for cause in suspects if cause not in seen) + HARDLY
    plan = plan_looks([*(weights[cause] for cause in reckoned), elsewhere], range(len(reckoned) + 1), looks_at(places, reckoned),
                      travel_min(places, start_m, walking_m_s), 0, answered_as=len(reckoned))  # fmt: skip
    shown = look_places(air, seen)
    at = {(place.where, place.name): place for place in shown}
    return LookWalk(
        tuple(at[places[number].where, places[number].name] for number in plan.first), plan.expected_min, blind, left_out
    )


def looks_at(places: Sequence[LookPlace], suspects: Sequence[Cause]) -> list[Look]:
    """Looks in the order of the places; place 0 is where the walk begins. The last thing shown is that it is elsewhere."""
    numbered = {cause: 1 + number for number, cause in enumerate(suspects)}
    return [
        Look(place.name, 1 + number, place.minutes, (*(numbered[c] if c in place.shows else 0 for c in suspects), 0),
             place.where in IN_PASSING)
        for number, place in enumerate(places)
    ]  # fmt: skip


def travel_min(places: Sequence[LookPlace], start_m: float, walking_m_s: float) -> list[list[float]]:
    """Minutes from place to place, the first of them where the walk begins."""
    at_m = [start_m, *(place.at_m for place in places)]
    return [[abs(there - here) / walking_m_s / 60.0 for there in at_m] for here in at_m]
