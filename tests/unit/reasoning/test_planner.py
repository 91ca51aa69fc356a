"""The planner on a toy world, against an exhaustive search written here."""

from __future__ import annotations

import heapq
from dataclasses import replace
from itertools import count

import pytest

from headstock.reasoning.bound import StillNeeded
from headstock.reasoning.checker import check
from headstock.reasoning.encoding import Encoder, Task
from headstock.reasoning.planner import plan
from tests.unit.reasoning.toy import toy_domain, without_step


def cheapest_by_brute_force(task: Task, start: int) -> float:
    """Uniform-cost search over all moves: no bound, no pruning."""
    ticket = count()
    best = {start: 0.0}
    heap = [(0.0, next(ticket), start)]
    while heap:
        cost, _, state = heapq.heappop(heap)
        if cost > best[state]:
            continue
        if task.goal & ~state == 0:
            return cost
        for move in task.moves:
            if move.need & ~state == 0:
                reached = state & ~move.lose | move.gain
                if cost + move.cost < best.get(reached, float("inf")):
                    best[reached] = cost + move.cost
                    heapq.heappush(heap, (cost + move.cost, next(ticket), reached))
    return float("inf")


def states_of(task: Task) -> dict[int, float]:
    """Every state that can be reached, with the cheapest way on to the goal."""
    seen, stack = {task.start}, [task.start]
    while stack:
        state = stack.pop()
        for move in task.moves:
            reached = state & ~move.lose | move.gain
            if move.need & ~state == 0 and reached not in seen:
                seen.add(reached)
                stack.append(reached)
    return {state: cheapest_by_brute_force(task, state) for state in seen}


def test_a_plan_is_found_and_the_checker_accepts_it() -> None:
    domain = toy_domain()
    result = plan(domain)
    assert result.answer == "planned"
    assert check(result.steps, domain).holds


def test_the_plan_costs_what_the_cheapest_order_costs_here() -> None:
    domain = toy_domain()
    task = Encoder(domain).task()
    assert plan(domain).cost_s == pytest.approx(cheapest_by_brute_force(task, task.start))


def test_the_bound_never_overstates_what_is_still_needed() -> None:
    domain = toy_domain()
    task = Encoder(domain).task()
    bound = StillNeeded(task, domain)
    states = states_of(task)
    assert len(states) > 10
    for state, cost in states.items():
        rest = bound.rest(state)
        assert rest.cost <= cost + 1e-9
        if rest.impossible:
            assert cost == float("inf")


def test_a_step_that_nothing_asks_for_is_not_planned() -> None:
    assert "paint the board" not in {step.key for step in plan(toy_domain()).steps}


def test_what_nobody_can_give_is_named() -> None:
    result = plan(without_step(toy_domain(), "light the lamp"))
    assert result.answer == "impossible"
    assert ("lamp", "lit") in result.missing
    assert result.roots == (("lamp", "lit"),)


def test_an_exhausted_budget_is_another_kind_of_no() -> None:
    assert plan(toy_domain(), budget=0).answer == "not found within the budget"


def test_the_same_task_gives_the_same_plan() -> None:
    assert plan(toy_domain()).steps == plan(toy_domain()).steps


def test_fresh_knowledge_must_be_told_before_it_ages() -> None:
    domain = toy_domain(fresh=True)
    result = plan(domain)
    keys = [step.key for step in result.steps]
    assert keys.index("tell the keeper: lamp lit") < keys.index("come out")
    assert check(result.steps, domain).holds


def test_a_task_of_one_step_is_planned() -> None:
    """A goal on all ways to which every step of the task lies is not one without a way."""
    domain = toy_domain()
    opened = replace(domain, steps=domain.steps[:1], goal=(("door", "open"),), goal_knows=(), windows=())
    assert [step.key for step in plan(opened).steps] == ["open the door"]
