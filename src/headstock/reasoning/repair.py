"""The smallest repair of an order: what to add, to move, to leave out, so that the checker accepts it.

Holes are mended one after the other, the first first: steps that give what it asks for go before it, what took it away goes
after it, or the line itself moves or goes. Where that leads nowhere, the rest is planned anew from where the first hole
stands, or from the start. A repair is accepted by the checker; none of its changes can be spared, unless so much was planned
anew that nobody tried.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from headstock.reasoning.amended import Amended, Change, Line, matched_up
from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.mending import Givers, to_blame, wanted_by
from headstock.reasoning.planner import plan
from headstock.reasoning.run import Complaint, Run, Verdicts
from headstock.reasoning.step import Step

RepairAnswer = Literal["nothing to mend", "repaired", "impossible", "not found within the budget"]
BUDGET = 600
LINES_CARRIED_OUT = 100_000
"""Most lines carried out on all tries together, so that a long order is not tried for minutes."""
PLANNING_BUDGET = 100
MOST_TAKEN_BACK = 60
"""Changes of a repair up to which each is tried to be spared."""
ENDS_TRIED = 2
"""Places tried at either end of where a line can stand, once one change alone has not been enough."""


@dataclass(frozen=True, slots=True)
class RepairResult:
    """The mended order with its changes, or which kind of no.

    ``planned_from`` is the line from which the rest had to be planned anew (0: nothing had to be).
    """

    answer: RepairAnswer
    steps: tuple[Step, ...] = ()
    changes: tuple[Change, ...] = ()
    planned_from: int = 0
    tried: int = 0


def repair(order: Sequence[Line], domain: Domain, budget: int = BUDGET) -> RepairResult:
    """Mend an order; ``budget`` is how many changed orders are tried before the rest is planned anew."""
    return _Mender(order, domain, budget).mend()


@dataclass(slots=True)
class _Tried:
    order: Amended
    holes: list[Complaint]

    def key(self) -> tuple[int, int, int]:
        """Changes made and holes of different kinds first, then all holes."""
        kinds = len({(hole.kind, hole.about) for hole in self.holes})
        return self.order.cost + kinds, len(self.holes), self.order.cost


class _Mender:
    def __init__(self, order: Sequence[Line], domain: Domain, budget: int) -> None:
        self.domain, self.tried = domain, 0
        self.budget = min(budget, LINES_CARRIED_OUT // max(1, len(order)))
        self.written = tuple(order)
        self.givers = Givers(domain)
        self.judged: dict[tuple[str, ...], Verdicts] = {}
        self.start = Run.begin(domain, self.judged)
        self.foreign = {step for step in order if not isinstance(step, str) and not domain.owns(step)}

    def mend(self) -> RepairResult:
        first = self._try(Amended.of(self.written), self.start, 0)
        if not first.holes:
            return RepairResult("nothing to mend", tuple(step for step in self.written if not isinstance(step, str)))
        mended = self._search(first)
        if mended is not None:
            return self._result(mended, 0)
        return self._anew(first.holes[0].line)

    def _result(self, order: Amended, planned_from: int) -> RepairResult:
        lean = self._lean(order.tidied())
        steps = tuple(entry.step for entry in lean.entries if not isinstance(entry.step, str))
        return RepairResult("repaired", steps, lean.changes(), planned_from, self.tried)

    def _try(self, order: Amended, so_far: Run, done: int) -> _Tried:
        """Carry out an order whose first ``done`` lines led to ``so_far``."""
        self.tried += 1
        run = so_far.copy()
        for line in range(done, len(order.entries)):
            run.follow(line + 1, order.entries[line].step)
        run.judge_end(len(order.entries) + 1)
        return _Tried(order, [complaint for complaint in run.complaints if complaint.line > 0])

    def _search(self, first: _Tried) -> Amended | None:
        count = 0
        heap: list[tuple[tuple[int, int, int], int, _Tried]] = [(first.key(), 0, first)]
        seen = {tuple(entry.step for entry in first.order.entries)}
        while heap and self.tried < self.budget:
            _, _, tried = heapq.heappop(heap)
            runs = self._runs(tried.order)
            for order, done in self._candidates(tried, runs):
                steps = tuple(entry.step for entry in order.entries)
                if steps in seen:
                    continue
                seen.add(steps)
                found = self._try(order, runs[done], done)
                if not found.holes:
                    return order
                count += 1
                heapq.heappush(heap, (found.key(), count, found))
                if self.tried >= self.budget:
                    break
        return None

    def _runs(self, order: Amended) -> list[Run]:
        """How things stand before each line, and after the last."""
        runs = [self.start]
        for line, entry in enumerate(order.entries, start=1):
            run = runs[-1].copy()
            run.follow(line, entry.step)
            runs.append(run)
        return runs

    def _candidates(self, tried: _Tried, runs: list[Run]) -> Iterator[tuple[Amended, int]]:
        """Changed orders that may mend the first hole, the most natural first, each with how many lines stay as they are."""
        order, hole = tried.order, tried.holes[0]
        at = min(hole.line - 1, len(order.entries))
        is_line = at < len(order.entries)
        step = order.entries[at].step if is_line else None
        if isinstance(step, str) or step in self.foreign:
            yield order.leave_out(at), at
        here = [other for other in tried.holes if other.line == hole.line]
        wanted = tuple(dict.fromkeys(one for other in here for one in wanted_by(other, runs[min(at + 1, len(runs) - 1)])))
        givers = tuple(dict.fromkeys(giver for one in wanted for giver in self.givers.of(one)))
        yield from self._brought_before(order, at, givers, runs)
        if isinstance(step, Step):
            yield from self._moved_behind(order, at, at, runs)
            yield order.leave_out(at), at
        for one in wanted:
            for blamed in to_blame(one, [entry.step for entry in order.entries[:at]], self.domain):
                yield from self._moved_behind(order, blamed, at, runs)
                yield order.leave_out(blamed), blamed

    def _brought_before(self, order: Amended, at: int, givers: Sequence[Step], runs: list[Run]) -> Iterator[tuple[Amended, int]]:
        """Steps that give what is wanted: first those that come later anyway, then new ones."""
        places = {giver: self._places(giver, range(at, -1, -1), runs, order.cost) for giver in givers}
        for giver in givers:
            later = [number for number in range(at + 1, len(order.entries)) if order.entries[number].step == giver]
            for number in later[:1]:
                for place in places[giver]:
                    yield order.move(number, place), place
        for giver in givers:
            for place in places[giver]:
                yield order.add(giver, place), place

    def _moved_behind(self, order: Amended, number: int, at: int, runs: list[Run]) -> Iterator[tuple[Amended, int]]:
        """A line moved to somewhere behind another."""
        step = order.entries[number].step
        if isinstance(step, Step):
            for place in self._places(step, range(at + 2, len(order.entries) + 1), runs, order.cost):
                yield order.move(number, place), number

    def _places(self, step: Step, numbers: range, runs: list[Run], cost: int) -> list[int]:
        """Where a step can be done as things stand; at the nearest place in any case."""
        found = [number for number in numbers if not runs[number].against(0, step)]
        if cost and len(found) > 2 * ENDS_TRIED:
            found = found[:ENDS_TRIED] + found[-ENDS_TRIED:]
        nearest = list(numbers[:1])
        return found + [number for number in nearest if number not in found]

    def _lean(self, order: Amended) -> Amended:
        """Changes that can be spared are taken back."""
        while order.cost <= MOST_TAKEN_BACK:
            fewer = (one for one in order.one_taken_back() if not self._try(one, self.start, 0).holes)
            leaner = next(fewer, None)
            if leaner is None:
                break
            order = leaner
        return order

    def _anew(self, line: int) -> RepairResult:
        """The rest planned from where the first hole stands, or from the start."""
        answers = []
        for kept in dict.fromkeys((line - 1, 0)):
            run = self.start.copy()
            for number, step in enumerate(self.written[:kept], start=1):
                run.follow(number, step)
            found = plan(starting_from(run), PLANNING_BUDGET)
            answers.append(found.answer)
            if found.answer == "planned":
                order = matched_up(self.written, kept, found.steps)
                if not self._try(order, self.start, 0).holes:
                    return self._result(order, kept + 1)
        is_no = all(answer == "impossible" for answer in answers)
        return RepairResult("impossible" if is_no else "not found within the budget", tried=self.tried)


def starting_from(run: Run) -> Domain:
    """The same task begun where a run has come to: things as they stand, people where they are, with what they know."""
    domain = run.domain
    return replace(
        domain,
        start={key: run.state[key] for key in domain.start},
        people={role: run.state[place_key(role)] for role in domain.people},
        start_knows=run.known(),
    )
