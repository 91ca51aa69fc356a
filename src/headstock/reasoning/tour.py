"""The shortest walk of one role through places in a forced order."""

from __future__ import annotations

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


class ShortestTour:
    """Least walking [s] through all visits left, each after those before it.

    ``places[n]`` is where visit n is made (None: anywhere), ``before[n]`` the mask of visits that come first. Whatever can be
    done where the role stands is done at once, which costs nothing and opens more; so only the choice of the next place
    branches, and each pair of a place and the visits left is worked out once.
    """

    def __init__(self, places: dict[int, str], before: list[int], domain: Domain) -> None:
        self.places, self.before, self.domain = places, before, domain
        self.visits = sum(1 << visit for visit in places)
        self.known: dict[tuple[str, int], float] = {}

    def rest(self, here: str, left: int) -> float:
        """Least walking from a place through the visits left."""
        left = self._settled(here, left & self.visits)
        if not left:
            return 0.0
        key = here, left
        found = self.known.get(key)
        if found is None:
            open_places = {self.places[visit] for visit in bits_of(left) if not self.before[visit] & left}
            found = min(
                ((self.domain.walk_s(here, place) or 0.0) + self.rest(place, left) for place in sorted(open_places)),
                default=0.0,
            )
            self.known[key] = found
        return found

    def _settled(self, here: str, left: int) -> int:
        grown = True
        while grown:
            grown = False
            for visit in bits_of(left):
                if self.places[visit] == here and not self.before[visit] & left:
                    left ^= 1 << visit
                    grown = True
        return left
