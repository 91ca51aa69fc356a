"""Exact search: nothing is left aside that could be cheaper, so the first way that reaches the goal is the cheapest there is."""

from __future__ import annotations

import heapq
from dataclasses import dataclass

from headstock.reasoning.encoding import Move, Task
from headstock.reasoning.forced_rest import ForcedRest


@dataclass(slots=True)
class Way:
    """A way so far: where it has led, what it cost, which forced takings it has left, which steps it has taken (a mask)."""

    state: int
    cost: float
    left: int
    taken: int
    parent: Way | None
    move: Move | None

    def steps(self) -> list[int]:
        """Its steps, in order."""
        numbers: list[int] = []
        way: Way | None = self
        while way is not None and way.move is not None:
            numbers.append(way.move.step)
            way = way.parent
        return numbers[::-1]


@dataclass(frozen=True, slots=True)
class Searched:
    """The cheapest way, or None; ``at_least`` is the cost [s] below which nothing leads to the goal."""

    way: Way | None
    at_least: float
    expanded: int


class ExactSearch:
    """A* with weight 1 over all moves, that can be stopped and gone on with.

    Where a step can be taken at once without losing the cheapest way (:mod:`headstock.reasoning.do_now`), it alone is followed.
    The bound belongs to a way, not to a state, and may fall by more than a move costs on another way to the same state:
    a state reached again at less cost is opened again, so the first goal taken from the queue is still the cheapest.
    """

    def __init__(self, task: Task, rest: ForcedRest, asks_state: bool = True) -> None:
        self.task, self.rest, self.asks_state = task, rest, asks_state
        self.moves = [move for move in task.moves if not rest.never >> move.step & 1]
        self.least = rest.bound(rest.all, task.start)
        self.best = {task.start: 0.0}
        self.heap: list[tuple[float, float, int, Way]] = [(self.least, 0.0, 0, Way(task.start, 0.0, rest.all, 0, None, None))]
        self.count = self.expanded = 0

    def run(self, budget: int, below_s: float = float("inf")) -> Searched:
        """Go on until ``budget`` states have been opened in all; ways that cost ``below_s`` or more are of no interest.

        Without a way and with nothing left to open, ``at_least`` is ``below_s``: nothing cheaper leads to the goal.
        """
        while self.heap and self.heap[0][0] < below_s - 1e-6:
            self.least, _, _, way = self.heap[0]
            if way.cost > self.best[way.state]:
                heapq.heappop(self.heap)
                continue
            if not self.task.goal & ~way.state:
                return Searched(way, self.least, self.expanded)
            if self.expanded >= budget:
                return Searched(None, self.least, self.expanded)
            heapq.heappop(self.heap)
            self.expanded += 1
            self._open(way)
        return Searched(None, below_s, self.expanded)

    def _open(self, way: Way) -> None:
        for move in self._worth_taking(way):
            state, cost = way.state & ~move.lose | move.gain, way.cost + move.cost
            if cost >= self.best.get(state, float("inf")) - 1e-9:
                continue
            left = self.rest.after(way.left, way.state, move.step)
            whole = round(max(self.least, cost + self.rest.bound(left, state)), 6)
            self.best[state] = cost
            self.count += 1
            then = Way(state, cost, left, way.taken | 1 << move.step, way, move)
            heapq.heappush(self.heap, (whole, -cost, -self.count, then))

    def _worth_taking(self, way: Way) -> list[Move]:
        absent = ~way.state
        open_moves = [move for move in self.moves if not move.need & absent]
        for move in open_moves:
            is_forced = not move.walks and way.left & self.rest.only[move.step]
            if is_forced and self.rest.do_now.is_sound(move.step, way.taken, way.state if self.asks_state else None):
                return [move]
        return open_moves


def cheapest_way(task: Task, rest: ForcedRest, budget: int) -> Searched:
    """The cheapest way by exact search; with nothing left to open ``at_least`` is infinite: there is none."""
    return ExactSearch(task, rest).run(budget)
