"""Variables that must come back to a value they had, or pass through several: what landmarks are told apart by."""

from __future__ import annotations

from collections.abc import Mapping

from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task


def to_and_fro(task: Task, domain: Domain, prior: Mapping[int, int]) -> list[str]:
    """Variables that are wanted as they are at the start after they were otherwise, or in at least three ways.

    ``prior``: for each needed step the steps before it. Any choice of variables gives a bound that never overstates; a good
    one gives a tight one.
    """
    needed = sum(1 << step for step in prior)
    asked: dict[str, list[tuple[str, int]]] = {}
    otherwise: dict[str, int] = {}
    for key, value in domain.goal:
        asked.setdefault(key, []).append((value, needed))
    for step, before in prior.items():
        touched = {key for key, _ in task.steps[step].effects}
        for key, value in task.steps[step].needs:
            asked.setdefault(key, []).append((value, 0 if key in touched else before | 1 << step))
        for key, value in (*task.steps[step].needs, *task.steps[step].effects):
            if value != domain.start.get(key):
                otherwise[key] = otherwise.get(key, 0) | 1 << step
    return [key for key in domain.variables if _comes_back(domain.start[key], asked.get(key, []), otherwise.get(key, 0))]


def _comes_back(first: str, asked: list[tuple[str, int]], otherwise: int) -> bool:
    """Whether the first value is asked for after another; or before others, by steps that leave it so."""
    lasting = [before for value, before in asked if value == first and before]
    return bool(lasting) and (any(before & otherwise for before in lasting) or len({value for value, _ in asked}) > 2)


def once_and_for_all(task: Task, domain: Domain, groups: list[list[int]]) -> list[str]:
    """Variables beside those of ``groups`` that never come back to a value they have left, and that others wait for."""
    apart = {fact for group in groups for fact in group}
    lost = gained = waited = 0
    for need, gain, lose in zip(task.step_need, task.step_gain, task.step_lose, strict=True):
        lost |= need & lose
        gained |= gain
        waited |= need & ~lose
    found = []
    for key in domain.variables:
        values = [bit for name, bit in task.bits.items() if name[0] == key and isinstance(name[1], str)]
        whole = sum(1 << bit for bit in values)
        one_way = not gained & task.start & whole
        if len(values) > 1 and not apart & set(values) and whole & lost and whole & waited and one_way:
            found.append(key)
    return found
