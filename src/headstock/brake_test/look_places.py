"""Where one can look for what is wrong: places along the train, what a look there shows, and how long it takes.

One side of the train is walked; whatever is passed is looked at. Nobody needs to go between for any of these looks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import Cause
from headstock.local_rules.drawn_tests import FaultKind
from headstock.local_rules.looking import UNSAID, LookedWhere

Where = LookedWhere
SEEN_AT: Final[dict[FaultKind, Where]] = {
    "cock shut": "end", "cock part open": "end", "main reservoir cock shut": "end", "pipe leaks": "vehicle",
    "brake isolated": "vehicle", "cylinder leaks": "vehicle", "other valve feeds": "cab", "lapped valve feeds": "cab",
    "compressor dead": "cab", "parking brake on": "vehicle", "hand brake on": "vehicle",
    "wrong gauge read": "gauge", "gauge stuck": "gauge", "gauge off": "gauge",
}  # fmt: skip
"""Where a fault can be seen or heard; what is missing here no look from the side shows (common practice, no source)."""
IN_PASSING: Final[frozenset[Where]] = frozenset(("end", "vehicle"))
"""What nobody walks past without looking."""


@dataclass(frozen=True, slots=True)
class LookPlace:
    """A place [m from the front], what one looks at there, and the causes that a look shows."""

    where: Where
    name: str
    at_m: float
    minutes: float
    shows: frozenset[Cause]


def look_places(air: AirUnderTest, suspects: Sequence[Cause]) -> tuple[LookPlace, ...]:
    """The places at which something suspected can be seen, from front to rear; the local rules say how long a look takes."""
    takes = air.tested.rules.looking or UNSAID
    found: dict[tuple[Where, str], set[Cause]] = {}
    for cause in suspects:
        where = SEEN_AT.get(cause.kind)
        if where is not None:
            found.setdefault((where, _name(air, where, cause)), set()).add(cause)
    places = [
        LookPlace(where, name, _at_m(air, where, name), takes.seconds(where) / 60.0, frozenset(causes))
        for (where, name), causes in found.items()
    ]
    return tuple(sorted(places, key=lambda place: (place.at_m, place.where)))


def _name(air: AirUnderTest, where: Where, cause: Cause) -> str:
    """The unit end, the vehicle or the cab."""
    tested = air.tested
    if cause.place in ("front", "rear"):
        return str(tested.front if cause.place == "front" else tested.rear)
    if where == "vehicle" and cause.place in air.air.brake_m:
        return cause.place
    at = next(at for at, _ in tested.train.devices() if at.key() == cause.place)
    return at.where


def _at_m(air: AirUnderTest, where: Where, name: str) -> float:
    """Place along the brake pipe [m]; a device of a whole unit stands in its middle."""
    places = air.air.brake_m
    if name in places:
        return places[name]
    unit = name.partition("/")[0]
    return places.get(unit, 0.0) if where != "end" else places.get(name, 0.0)
