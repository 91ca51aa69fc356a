"""The way to walk and look: places in order with the least expected time until the cause is seen; nothing is walked past."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.drawn_run import AirUnderTest
from headstock.brake_test.look_places import IN_PASSING, LookPlace, look_places
from headstock.reasoning.next_look import Look, plan_looks

ELSEWHERE = -1
"""What no look shows is one lot: looking cannot part it."""


@dataclass(frozen=True, slots=True)
class LookWalk:
    """Places in order, the expected time [min], and suspects that no look shows.

    ``left_out``: suspects that the order does not reckon with, being least likely; they are looked for where one comes by.
    """

    places: tuple[LookPlace, ...]
    expected_min: float
    not_shown: tuple[Cause, ...]
    left_out: tuple[Cause, ...] = ()


def walk_of(air: AirUnderTest, weights: Mapping[Cause, float], start_m: float, walking_m_s: float) -> LookWalk:
    """The walk from a place [m from the front] for causes suspected so much."""
    suspects = sorted(weights, key=lambda cause: -weights[cause])
    places = look_places(air, suspects)
    shown = {cause for place in places for cause in place.shows}
    blind = tuple(cause for cause in suspects if cause not in shown and cause != NOTHING)
    if not places:
        return LookWalk((), 0.0, blind)
    groups = [number if cause in shown else ELSEWHERE for number, cause in enumerate(suspects)]
    looks = looks_at(places, suspects)
    plan = plan_looks([weights[cause] for cause in suspects], groups, looks, travel_min(places, start_m, walking_m_s), 0)
    left_out = tuple(suspects[number] for number in plan.left_out if suspects[number] in shown)
    return LookWalk(tuple(places[number] for number in plan.first), plan.expected_min, blind, left_out)


def looks_at(places: Sequence[LookPlace], suspects: Sequence[Cause]) -> list[Look]:
    """Looks in the order of the places; place 0 is where the walk begins."""
    numbered = {cause: 1 + number for number, cause in enumerate(suspects)}
    return [
        Look(place.name, 1 + number, place.minutes, tuple(numbered[c] if c in place.shows else 0 for c in suspects),
             place.where in IN_PASSING)
        for number, place in enumerate(places)
    ]  # fmt: skip


def travel_min(places: Sequence[LookPlace], start_m: float, walking_m_s: float) -> list[list[float]]:
    """Minutes from place to place, the first of them where the walk begins."""
    at_m = [start_m, *(place.at_m for place in places)]
    return [[abs(there - here) / walking_m_s / 60.0 for there in at_m] for here in at_m]
