"""Two mistakes in one job: which pairs hide each other.

A pair is worse than its parts when nobody notices and a rule is broken, or a fact of the end state is missing, that neither
mistake alone breaks or leaves missing unnoticed.
"""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from headstock.reasoning.acts import Act
from headstock.reasoning.going_on import Course, GoingOn
from headstock.reasoning.mistake_study import Verdict, gravity_of, verdict_of
from headstock.reasoning.mistakes import Mistake, script_of

KEPT = 50


@dataclass(slots=True)
class PairCount:
    """Pairs counted: run, settled without running, not two mistakes; by verdict; those worse than their parts.

    ``worst`` keeps the gravest of those (number of each of the two mistakes), most plausible first, then the earliest.
    ``hiders`` counts for each mistake in how many worse pairs it is.
    """

    run: int = 0
    settled: int = 0
    not_two: int = 0
    verdicts: Counter[Verdict] = field(default_factory=Counter)
    worse: int = 0
    hiders: Counter[int] = field(default_factory=Counter)
    worst: list[tuple[tuple[int, ...], int, int]] = field(default_factory=list)

    def add(self, other: PairCount) -> None:
        """Take in what was counted elsewhere."""
        self.run += other.run
        self.settled += other.settled
        self.not_two += other.not_two
        self.worse += other.worse
        self.verdicts.update(other.verdicts)
        self.hiders.update(other.hiders)
        self.worst = heapq.nsmallest(KEPT, [*self.worst, *other.worst])


class Pairs:
    """Runs pairs of some mistakes of one order."""

    def __init__(self, going: GoingOn, mistakes: Sequence[Mistake], plausibility: Sequence[int]) -> None:
        self.going, self.mistakes, self.plausibility = going, mistakes, plausibility
        self.alone: list[tuple[int, int]] = []
        self.reach: list[int | None] = []
        for mistake in mistakes:
            script, first = script_of(going, mistake)
            course = going.run(script, first)
            self.alone.append(self._silent(course))
            self.reach.append(_reach(script, course))

    def count(self, firsts: Iterable[int]) -> PairCount:
        """All pairs whose first mistake is one of those, the second any later one in the list."""
        found = PairCount()
        for one in firsts:
            for other in range(one + 1, len(self.mistakes)):
                self._pair(one, other, found)
        return found

    def _pair(self, one: int, other: int, found: PairCount) -> None:
        first, second = self.mistakes[one], self.mistakes[other]
        if not set(first.lines).isdisjoint(second.lines):
            found.not_two += 1
            return
        if self._comes_too_late(one, second) or self._comes_too_late(other, first):
            found.settled += 1
            found.verdicts["noticed"] += 1
            return
        course = self.going.run(*script_of(self.going, first, second))
        verdict = verdict_of(self.going, course)
        found.run += 1
        found.verdicts[verdict] += 1
        broken, left = self._silent(course)
        one_broken, one_left = self.alone[one]
        other_broken, other_left = self.alone[other]
        if broken & ~(one_broken | other_broken) or left & ~(one_left | other_left):
            gravity = gravity_of(verdict, bool(course.broken))
            found.worse += 1
            found.hiders.update((one, other))
            likely = self.plausibility[one] + self.plausibility[other]
            rank = (-gravity, -likely, len(first.lines) + len(second.lines), first.line, second.line)
            found.worst.append((rank, one, other))
            if len(found.worst) > 4 * KEPT:
                found.worst = heapq.nsmallest(KEPT, found.worst)

    def _silent(self, course: Course) -> tuple[int, int]:
        """Constraints broken and facts of the end state missing, where nobody notices."""
        if course.seen is not None:
            return 0, 0
        broken = 0
        for _, number, _ in course.broken:
            broken |= 1 << number
        return broken, self.going.goal & ~course.state

    def _comes_too_late(self, one: int, second: Mistake) -> bool:
        """Whether somebody notices the one before the other has changed anything: then the two are as the one alone."""
        reach = self.reach[one]
        return reach is not None and second.first > reach


def _reach(script: Sequence[Act], course: Course) -> int | None:
    """The last line done, or about to be done, when somebody notices; None when nobody does in the course of the job."""
    if course.seen is None or course.seen.at >= len(script):
        return None
    return max(act.line for act in script[: course.seen.at + 1])
