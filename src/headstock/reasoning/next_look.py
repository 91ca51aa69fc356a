"""Where to look next: the order of looks with the least expected time until the causes left need no telling apart.

Looks lie at places; getting from one to another takes time. What a look shows depends on the cause alone. A look that is made
in passing is never passed by while it can still show something: nobody walks past a handle without looking at it. The best way
to go on is found exactly, by dynamic programming over the causes still possible and where one stands (Bellman); causes beyond
``MOST`` weigh least and are left out of the reckoning, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

MOST = 12
"""Causes reckoned with exactly."""
SAME_PLACE_MIN = 1e-9
"""Places nearer to one another than this are one."""


@dataclass(frozen=True, slots=True)
class Look:
    """A look at a place: its time [min], and what it shows for each cause (any numbers; equal numbers look the same)."""

    key: str
    place: int
    minutes: float
    shows: tuple[int, ...]
    in_passing: bool = False


@dataclass(frozen=True, slots=True)
class LookPlan:
    """Looks in the order in which they are made as long as each shows what is likeliest, and the expected time [min].

    ``first``: numbers of the looks. ``left_out``: causes that were not reckoned with. ``is_settled``: nothing more to tell apart.
    """

    first: tuple[int, ...]
    expected_min: float
    is_settled: bool
    left_out: tuple[int, ...] = ()


@dataclass(slots=True)
class _Search:
    weights: Sequence[float]
    groups: Sequence[int]
    looks: Sequence[Look]
    travel_min: Sequence[Sequence[float]]
    known: dict[tuple[int, int], tuple[float, int]] = field(default_factory=dict)

    def weight(self, causes: int) -> float:
        return sum(weight for cause, weight in enumerate(self.weights) if causes >> cause & 1)

    def is_settled(self, causes: int) -> bool:
        return len({self.groups[cause] for cause in range(len(self.weights)) if causes >> cause & 1}) <= 1

    def parts(self, causes: int, look: Look) -> tuple[int, ...]:
        """The causes as a look parts them."""
        found: dict[int, int] = {}
        for cause in range(len(self.weights)):
            if causes >> cause & 1:
                found[look.shows[cause]] = found.get(look.shows[cause], 0) | 1 << cause
        return tuple(found.values())

    def lies_between(self, here: int, other: int, there: int) -> bool:
        """Whether one comes by another place, or stands at it, on the way to somewhere else."""
        onward_min = self.travel_min[other][there]
        by_it_min = self.travel_min[here][other] + onward_min
        return onward_min > SAME_PLACE_MIN and by_it_min <= self.travel_min[here][there] + SAME_PLACE_MIN

    def best(self, causes: int, place: int) -> tuple[float, int]:
        """The least time, each cause weighed, until nothing is left to tell apart; and the look to make (-1: none)."""
        if self.is_settled(causes):
            return 0.0, -1
        state = (causes, place)
        if state not in self.known:
            self.known[state] = self._best(causes, place)
        return self.known[state]

    def _best(self, causes: int, place: int) -> tuple[float, int]:
        found, which, here = float("inf"), -1, self.weight(causes)
        telling = {number: parts for number, look in enumerate(self.looks) if len(parts := self.parts(causes, look)) > 1}
        passed = [self.looks[number].place for number in telling if self.looks[number].in_passing]
        for number in sorted(telling, key=lambda number: self.travel_min[place][self.looks[number].place]):
            look, parts = self.looks[number], telling[number]
            spent = here * (self.travel_min[place][look.place] + look.minutes)
            if spent >= found or any(self.lies_between(place, other, look.place) for other in passed):
                continue
            cost = spent + sum(self.best(part, look.place)[0] for part in parts)
            if cost < found:
                found, which = cost, number
        return (found, which) if which >= 0 else (0.0, -1)


def plan_looks(
    weights: Sequence[float],
    groups: Sequence[int],
    looks: Sequence[Look],
    travel_min: Sequence[Sequence[float]],
    start: int,
    answered_as: int | None = None,
) -> LookPlan:
    """The best way to go on from a place.

    ``weights`` of the causes (any scale), ``groups``: causes of one number need not be told apart, ``travel_min`` from place to
    place [min]. ``answered_as``: the order is that in which looks are made while each shows what this cause (never left out)
    shows; not given, what is likeliest.
    """
    order = sorted(range(len(weights)), key=lambda cause: (-weights[cause], cause))
    order.sort(key=lambda cause: cause != answered_as)
    kept = sorted(order[:MOST])
    search = _Search(
        [weights[cause] for cause in kept], [groups[cause] for cause in kept],
        [replace(look, shows=tuple(look.shows[cause] for cause in kept)) for look in looks], travel_min,
    )  # fmt: skip
    everything = (1 << len(kept)) - 1
    cost, _ = search.best(everything, start)
    total = search.weight(everything)
    followed = 0 if answered_as is None else 1 << kept.index(answered_as)
    return LookPlan(_way(search, everything, start, followed), cost / total if total else 0.0,
                    search.is_settled(everything), tuple(sorted(order[MOST:])))  # fmt: skip


def _way(search: _Search, causes: int, place: int, followed: int) -> tuple[int, ...]:
    """Looks while each shows what a cause shows, or what most weight speaks for; of two as likely, what leaves more."""
    found: list[int] = []
    while True:
        _, which = search.best(causes, place)
        if which < 0:
            return tuple(found)
        found.append(which)
        parts = search.parts(causes, search.looks[which])
        causes = max(parts, key=lambda part: (part & followed, search.weight(part), part.bit_count()))
        place = search.looks[which].place
