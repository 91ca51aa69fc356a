"""An order of steps: the cheapest by exact search; where that takes too long, any order, by a search that leaves moves aside."""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import Literal

from headstock.reasoning.best_search import ExactSearch
from headstock.reasoning.bound import Rest, StillNeeded
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Encoder, Known, Move, Task
from headstock.reasoning.forced_rest import ForcedRest, forced_rest
from headstock.reasoning.masks import bits_of, turned
from headstock.reasoning.second_pass import settle_order
from headstock.reasoning.step import Step
from headstock.reasoning.trim import trimmed
from headstock.reasoning.variable import Fact

Answer = Literal["planned", "impossible", "not found within the budget"]
FIRST_PART, FIRST_MOST = 8, 625
"""Share of the budget, and states at most, that the exact search has before it brings more forward, and again before any order
is looked for."""
LOOSE_PART, LOOSE_MOST = 20, 250
"""The same for looking for any order at first."""
WEIGHTS = (2.0, 3.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class PlanResult:
    """An order of work, or which kind of no.

    ``cost_s`` is the additive cost [s]; ``bound_s`` the lower bound at the start; ``proved_best``: no order of the known steps
    costs less, because the exact search left nothing aside or because the bound is as high. ``missing`` names goal facts that
    no order can give, ``roots`` what they fail on.
    """

    answer: Answer
    steps: tuple[Step, ...] = ()
    cost_s: float = 0.0
    bound_s: float = 0.0
    proved_best: bool = False
    expanded: int = 0
    missing: tuple[Fact | Known, ...] = ()
    roots: tuple[Fact | Known, ...] = ()


@dataclass(slots=True)
class _Node:
    state: int
    cost: float
    parent: _Node | None
    move: Move | None


def plan(domain: Domain, budget: int = 15_000) -> PlanResult:
    """Find an order of steps from start to goal, the cheapest where the budget allows.

    The exact search opens a part of ``budget`` states. Where that is not enough a search that leaves moves aside looks for any
    order, in few states at first and in four times as many with each heavier weight on the bound. What it finds is the best if
    nothing cheaper is possible; the exact search goes on only below what it costs.
    """
    task = Encoder(domain).task()
    if task.unreachable:
        return PlanResult("impossible", missing=task.unreachable, roots=task.roots)
    search = Search(task, domain)
    first = search.rest(task.start)
    if first.impossible:
        return PlanResult("impossible")
    forced = forced_rest(task, domain, first.prior)
    if forced is None:
        return PlanResult("impossible")
    return _searched(search, forced, domain, budget)


def _searched(search: Search, forced: ForcedRest, domain: Domain, budget: int) -> PlanResult:
    """The exact search, with an order found otherwise to go on below where it takes long.

    Bringing more forward ends in another of the orders that cost the same, a less customary one: only where it must be.
    """
    task = search.task
    exact = ExactSearch(task, forced, asks_state=False)
    start_s, first = exact.least, min(budget // FIRST_PART, FIRST_MOST)
    found = exact.run(first)
    if found.way is None and found.at_least < float("inf"):
        search.expanded += found.expanded
        exact = ExactSearch(task, forced)
        found = exact.run(first)
    if found.way is None and found.at_least == float("inf"):
        return PlanResult("impossible", expanded=found.expanded)
    loose = any_way(search, domain, min(budget // LOOSE_PART, LOOSE_MOST)) if found.way is None else None
    if found.way is None:
        found = exact.run(budget, loose[1] if loose else float("inf"))
    expanded = found.expanded + search.expanded
    if found.way is not None:
        steps = settle_order(tuple(task.steps[number] for number in found.way.steps()), domain)
        return PlanResult("planned", steps, found.way.cost, start_s, True, expanded)
    if loose is None:
        answer: Answer = "impossible" if found.at_least == float("inf") else "not found within the budget"
        return PlanResult(answer, bound_s=start_s, expanded=expanded)
    steps = settle_order(tuple(task.steps[number] for number in loose[0]), domain)
    return PlanResult("planned", steps, loose[1], start_s, loose[1] <= found.at_least + 1e-6, expanded)


def any_way(search: Search, domain: Domain, budget: int) -> tuple[list[int], float] | None:
    """Steps of some way to the goal, made lean, and their cost [s]; nothing is proved by it, nor by None."""
    for weight in WEIGHTS:
        node = search.run(weight, budget)
        if node is not None:
            return trimmed(_path(node), search.task, domain)
        budget *= 4
    return None


def _path(node: _Node) -> list[int]:
    numbers: list[int] = []
    step: _Node | None = node
    while step is not None and step.move is not None:
        numbers.append(step.move.step)
        step = step.parent
    return numbers[::-1]


class Search:
    """Weighted search that leaves moves aside: quick, and no proof of anything."""

    def __init__(self, task: Task, domain: Domain) -> None:
        self.task = task
        self.bound = StillNeeded(task, domain)
        self.expanded = 0
        self.rests: dict[int, Rest] = {}
        self.losers = turned(task.step_lose, len(task.bits))
        self.users = turned(task.step_need, len(task.bits))

    def rest(self, state: int) -> Rest:
        known = self.rests.get(state)
        if known is None:
            known = self.rests[state] = self.bound.rest(state)
        return known

    def run(self, weight: float, budget: int) -> _Node | None:
        """The first goal node found, or None: moves are left aside on the way, so an end of the search proves nothing.

        A state's bound is worked out when it is opened; until then it waits at its parent's, less what its own step adds.
        """
        task = self.task
        best: dict[int, float] = {task.start: 0.0}
        heap: list[tuple[float, int, _Node]] = [(0.0, 0, _Node(task.start, 0.0, None, None))]
        count = opened = 0
        while heap:
            _, _, node = heapq.heappop(heap)
            if node.cost > best[node.state]:
                continue
            if task.goal & ~node.state == 0:
                return node
            rest = self.rest(node.state)
            if rest.impossible:
                continue
            opened += 1
            self.expanded += 1
            if opened > budget:
                return None
            for move in self._moves(node.state):
                state, cost = node.state & ~move.lose | move.gain, node.cost + move.cost
                if cost >= best.get(state, float("inf")):
                    continue
                best[state] = cost
                count += 1
                counted = task.step_cost[move.step] if rest.needed >> move.step & 1 else 0.0
                heapq.heappush(heap, (cost + weight * (rest.cost - counted), -count, _Node(state, cost, node, move)))
        return None

    def _moves(self, state: int) -> list[Move]:
        """Moves that can be taken and are of use now; one alone when nothing speaks against doing it now."""
        rest = self.rest(state)
        open_moves = []
        for move in self.task.moves:
            if move.need & ~state == 0 and self._is_of_use(move, state, rest) and not self._too_early(move, state, rest):
                if not move.walks and rest.needed >> move.step & 1 and self._loses_nothing_needed(move, state, rest):
                    return [move]
                open_moves.append(move)
        return open_moves

    def _is_of_use(self, move: Move, state: int, rest: Rest) -> bool:
        """Whether it gives something still wanted, or takes somebody in or out."""
        if self.task.steps[move.step].goes_to:
            return bool(move.gain & ~state)
        return bool(self.task.step_gain[move.step] & ~state & rest.wanted)

    def _too_early(self, move: Move, state: int, rest: Rest) -> bool:
        """Whether all that it gains for steps still needed is lost again before they can use it."""
        if self.task.steps[move.step].goes_to:
            return False
        has_use = False
        others = rest.needed & ~(1 << move.step)
        for bit in bits_of(self.task.step_gain[move.step] & ~state):
            losers = self.losers[bit] & ~(1 << move.step)
            if self.task.goal >> bit & 1 and not losers & others:
                return False
            for user in bits_of(self.users[bit] & others):
                has_use = True
                if not rest.prior[user] & losers:
                    return False
        return has_use

    def _loses_nothing_needed(self, move: Move, state: int, rest: Rest) -> bool:
        """Nothing still needed, and not the goal, rests on what it loses."""
        lost = move.lose & state
        if lost & self.task.goal:
            return False
        others = rest.needed & ~(1 << move.step)
        return all(not self.users[bit] & others for bit in bits_of(lost))
