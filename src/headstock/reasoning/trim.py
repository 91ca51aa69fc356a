"""A found order made lean: steps whose gains were lost or won again before anything used them are left out."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task


def trimmed(order: Sequence[int], task: Task, domain: Domain) -> tuple[list[int], float]:
    """The order (step numbers of the task) without idle steps, and its cost [s].

    A step is idle when the rest can still be taken in that order and still reaches the goal, at no greater cost; so are two
    of which the later takes back what the earlier gave.
    """
    cost = cost_of(order, task, domain)
    if cost is None:
        raise ValueError("the order found cannot be taken")
    kept = list(order)
    lean = -1
    while lean != len(kept):
        lean = len(kept)
        for left_out in (*_singles(kept), *_undone_pairs(kept, task)):
            if len(kept) != lean:
                break  # places have moved: begin again
            without = [number for place, number in enumerate(kept) if place not in left_out]
            cheaper = cost_of(without, task, domain)
            if cheaper is not None and cheaper <= cost:
                kept, cost = without, cheaper
    return kept, cost


def _singles(order: Sequence[int]) -> list[tuple[int, ...]]:
    return [(place,) for place in range(len(order) - 1, -1, -1)]


def _undone_pairs(order: Sequence[int], task: Task) -> list[tuple[int, ...]]:
    """Places of steps of which the later loses what the earlier gained."""
    return [
        (first, second)
        for second in range(len(order) - 1, 0, -1)
        for first in range(second - 1, -1, -1)
        if task.step_gain[order[first]] & task.step_lose[order[second]]
    ]


def cost_of(order: Sequence[int], task: Task, domain: Domain) -> float | None:
    """Cost of an order with its walking [s], or None when it cannot be taken or misses the goal."""
    state, total = task.start, 0.0
    standing = dict(domain.people)
    for number in order:
        step = task.steps[number]
        if task.step_need[number] & ~state:
            return None
        state = state & ~task.step_lose[number] | task.step_gain[number]
        total += task.step_cost[number]
        if step.place is None:
            continue
        walk = domain.walk_s(standing[step.role], step.place)
        if walk is None:
            return None
        total += walk
        state = _stands(state, step.role, standing[step.role], step.goes_to or step.place, task)
        standing[step.role] = step.goes_to or step.place
    return total if not task.goal & ~state else None


def _stands(state: int, role: str, before: str, after: str, task: Task) -> int:
    at = place_key(role)
    for place, on in ((before, False), (after, True)):
        bit = task.bits.get((at, place))
        if bit is not None:
            state = state | 1 << bit if on else state & ~(1 << bit)
    return state
