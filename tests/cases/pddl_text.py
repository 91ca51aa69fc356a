"""A small reader of grounded PDDL and a plain uniform-cost search over it; nothing of the product is used."""

from __future__ import annotations

import heapq
import re
from dataclasses import dataclass
from typing import Any

Atoms = frozenset[str]


@dataclass(frozen=True)
class ReadAction:
    """One action as the text says it."""

    needs: Atoms
    gains: Atoms
    losses: Atoms
    cost: int


@dataclass(frozen=True)
class PddlFiles:
    """Both files as read."""

    actions: dict[str, ReadAction]
    start: Atoms
    goal: Atoms

    def after(self, state: Atoms, name: str) -> Atoms:
        """The state after an action."""
        return state - self.actions[name].losses | self.actions[name].gains

    def cheapest(self, state: Atoms, limit: int = 60_000) -> tuple[int, int]:
        """Cost of the cheapest way to the goal and how many states were opened. Raises OverflowError past the limit."""
        best, queue, number = {state: 0}, [(0, 0, state)], 0
        closed: set[Atoms] = set()
        while queue:
            cost, _, here = heapq.heappop(queue)
            if here in closed:
                continue
            closed.add(here)
            if self.goal <= here:
                return cost, len(closed)
            if len(closed) > limit:
                raise OverflowError(f"more than {limit} states")
            for action in self.actions.values():
                there = here - action.losses | action.gains
                if action.needs <= here and cost + action.cost < best.get(there, 1 << 60):
                    best[there] = cost + action.cost
                    number += 1
                    heapq.heappush(queue, (cost + action.cost, number, there))
        raise LookupError("no way to the goal")


def read_files(domain: str, problem: str) -> PddlFiles:
    """The two texts, read by their brackets."""
    actions = {}
    for part in _tree(domain):
        if part[0] == ":action":
            parts = dict(zip(part[2::2], part[3::2], strict=True))
            effects = parts[":effect"][1:]
            cost = next(int(one[2]) for one in effects if one[0] == "increase")
            losses = [one[1] for one in effects if one[0] == "not"]
            gains = [one for one in effects if one[0] not in ("not", "increase")]
            actions[part[1]] = ReadAction(_atoms(parts[":precondition"][1:]), _atoms(gains), _atoms(losses), cost)
    sections = {part[0]: part[1:] for part in _tree(problem)}
    start = _atoms(one for one in sections[":init"] if one[0] != "=")
    return PddlFiles(actions, start, _atoms(sections[":goal"][0][1:]))


def _atoms(parts: Any) -> Atoms:
    return frozenset(" ".join(part) for part in parts)


def _tree(text: str) -> list[Any]:
    """The parts of a (define ...)."""
    stack: list[list[Any]] = [[]]
    for token in re.findall(r"[()]|[^\s()]+", text):
        if token == "(":
            stack.append([])
        elif token == ")":
            done = stack.pop()
            stack[-1].append(done)
        else:
            stack[-1].append(token)
    return [part for part in stack[0][0][1:] if isinstance(part, list)]
