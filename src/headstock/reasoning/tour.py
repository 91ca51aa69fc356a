"""The shortest walk of one role through places in a forced order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task
from headstock.reasoning.masks import bits_of


def entrances(task: Task, domain: Domain) -> dict[str, str]:
    """Closed places stand for the open place one enters them from."""
    table = {key: key for key in domain.places}
    for step in task.steps:
        if step.goes_to and step.place and domain.places[step.goes_to].closed:
            table[step.goes_to] = step.place
    return table


@dataclass(frozen=True, slots=True)
class Spoiling:
    """A visit that costs ``cost_s`` [s] when it is made while others (a mask) are left; paid once for a ``group``.

    What is paid for is a taking of one of ``givers``.
    """

    visit: int
    others: int
    group: int
    cost_s: float
    givers: tuple[int, ...]


class ShortestTour:
    """Least walking [s] through all visits left, each after those before it, with what is paid for spoiling others.

    ``places[n]`` is where visit n is made (None: anywhere), ``before[n]`` the mask of visits that come first. Whatever can be
    done where the role stands is done at once, which costs nothing and opens more; so only the choice of the next place
    branches, and each pair of a place and the visits left is worked out once. A visit that would spoil others waits for a bit
    of its own, which goes when they are made or when it is paid for.
    """

    def __init__(self, places: dict[int, str], before: list[int], domain: Domain, spoiling: Sequence[Spoiling] = ()) -> None:
        self.places, self.before, self.domain = places, list(before), domain
        self.visits = sum(1 << visit for visit in places)
        self.at = {place: sum(1 << visit for visit, where in places.items() if where == place) for place in places.values()}
        self.known: dict[tuple[str, int], float] = {}
        self.asked: dict[tuple[str, int], float] = {}
        self.spoiling = [(1 << len(before) + number, one) for number, one in enumerate(spoiling)]
        for bit, one in self.spoiling:
            self.before[one.visit] |= bit
        self.waits = sum(bit for bit, _ in self.spoiling)
        self.paid_by: dict[int, int] = {}
        groups = {one.group: sum(bit for bit, other in self.spoiling if other.group == one.group) for _, one in self.spoiling}
        for _, one in self.spoiling:
            for giver in one.givers:
                self.paid_by[giver] = self.paid_by.get(giver, 0) | groups[one.group]

    def rest(self, here: str, left: int, counted: Iterable[int] = ()) -> float:
        """Least walking from a place through the visits left; one taking of each of ``counted`` steps is paid for elsewhere."""
        waits = self.waits
        for step in counted:
            waits &= ~self.paid_by.get(step, 0)
        asked = here, left & self.visits | waits
        found = self.asked.get(asked)
        if found is None:
            found = self.asked[asked] = self._rest(*asked)
        return found

    def _rest(self, here: str, left: int) -> float:
        left = self._settled(here, left)
        if not left & self.visits:
            return 0.0
        key = here, left
        found = self.known.get(key)
        if found is None:
            open_places = {self.places[visit] for visit in bits_of(left & self.visits) if not self.before[visit] & left}
            ways = [(self.domain.walk_s(here, place) or 0.0) + self._rest(place, left) for place in sorted(open_places)]
            ways += self._paying(here, left)
            found = self.known[key] = min(ways, default=0.0)
        return found

    def _paying(self, here: str, left: int) -> list[float]:
        """What the rest costs when one group that a visit waits for is paid for."""
        waiting = {one.group for bit, one in self.spoiling if left & bit and not self.before[one.visit] & left & self.visits}
        ways = []
        for group in sorted(waiting):
            bits = sum(bit for bit, one in self.spoiling if one.group == group)
            cost = min(one.cost_s for _, one in self.spoiling if one.group == group)
            ways.append(cost + self._rest(here, left & ~bits))
        return ways

    def _settled(self, here: str, left: int) -> int:
        at_here = self.at.get(here, 0)
        grown = True
        while grown:
            grown = False
            for bit, one in self.spoiling:
                if left & bit and not (left >> one.visit & 1 and left & one.others):
                    left ^= bit
            for visit in bits_of(left & at_here):
                if not self.before[visit] & left:
                    left ^= 1 << visit
                    grown = True
        return left
