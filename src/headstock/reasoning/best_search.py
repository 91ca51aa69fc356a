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


def cheapest_way(task: Task, rest: ForcedRest, budget: int) -> Searched:
    """A* with weight 1 over all moves; without a way and with nothing left to open, ``at_least`` is infinite: there is none.

    Where a step can be taken at once without losing the cheapest way (:mod:`headstock.reasoning.do_now`), it alone is followed.
    The bound belongs to a way, not to a state, and may fall by more than a move costs on another way to the same state:
    a state reached again at less cost is opened again, so the first goal taken from the queue is still the cheapest.
    """
    start = Way(task.start, 0.0, rest.all, 0, None, None)
    first = rest.bound(rest.all, task.start)
    best = {task.start: 0.0}
    heap: list[tuple[float, float, int, Way]] = [(first, 0.0, 0, start)]
    moves = [move for move in task.moves if not rest.never >> move.step & 1]
    count = expanded = 0
    least = first
    while heap:
        least, _, _, way = heapq.heappop(heap)
        if way.cost > best[way.state]:
            continue
        if not task.goal & ~way.state:
            return Searched(way, least, expanded)
        if expanded >= budget:
            return Searched(None, least, expanded)
        expanded += 1
        for move in _worth_taking(way, moves, rest):
            state, cost = way.state & ~move.lose | move.gain, way.cost + move.cost
            if cost >= best.get(state, float("inf")) - 1e-9:
                continue
            left = rest.after(way.left, way.state, move.step)
            whole = round(max(least, cost + rest.bound(left, state)), 6)
            best[state] = cost
            count += 1
            heapq.heappush(heap, (whole, -cost, -count, Way(state, cost, left, way.taken | 1 << move.step, way, move)))
    return Searched(None, float("inf"), expanded)


def _worth_taking(way: Way, moves: list[Move], rest: ForcedRest) -> list[Move]:
    open_moves = [move for move in moves if not move.need & ~way.state]
    for move in open_moves:
        if not move.walks and way.left & rest.only[move.step] and rest.do_now.is_sound(move.step, way.taken):
            return [move]
    return open_moves
