"""What is still needed from a state: a lower bound on the cost of the rest.

Steps that stand on every way back from an unmet goal (landmarks of the problem in which nothing is ever lost, found as a
greatest fixpoint), the stays in closed places that their forced order asks for, and the walking that it asks for.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain, Window
from headstock.reasoning.encoding import Task
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step import Step


@dataclass(frozen=True, slots=True)
class Rest:
    """Bound on the rest [s], the steps it counts with those before each, the facts still wanted, whether there is no way."""

    cost: float
    needed: int
    prior: dict[int, int] = field(default_factory=dict)
    wanted: int = 0
    impossible: bool = False


class StillNeeded:
    """The bound for one task."""

    def __init__(self, task: Task, domain: Domain) -> None:
        self.task, self.domain = task, domain
        number = {step.key: index for index, step in enumerate(task.steps)}
        self.givers = [list(steps) for steps in task.achievers]
        self.dependents = self._dependents(task)
        self.windows = [_WindowCount(window, number, task) for window in domain.windows]
        self.cyclic = 0
        for window in self.windows:
            self.cyclic |= window.cyclic
        self.entrance = self._entrances()
        self.by_role: dict[str, int] = {}
        for index, step in enumerate(task.steps):
            if step.place is not None:
                self.by_role[step.role] = self.by_role.get(step.role, 0) | 1 << index

    @staticmethod
    def _dependents(task: Task) -> list[int]:
        """For each fact the facts that some step gives which needs it."""
        table = [0] * len(task.bits)
        for fact, steps in enumerate(task.achievers):
            for step in steps:
                for need in bits_of(task.step_need[step]):
                    table[need] |= 1 << fact
        return table

    def _entrances(self) -> dict[str, str]:
        """Closed places stand for the open place one enters them from."""
        table = {key: key for key in self.domain.places}
        for step in self.task.steps:
            if step.goes_to and step.place and self.domain.places[step.goes_to].closed:
                table[step.goes_to] = step.place
        return table

    def landmarks(self, state: int) -> tuple[int, dict[int, int]] | None:
        """Steps on every way to the goal, and for each of them the steps before it; None when there is no way."""
        task, needs, givers = self.task, self.task.step_need, self.givers
        # One bit more than there are steps: a fact whose ways contain every step is not one without a way.
        everything = (2 << len(task.steps)) - 1
        before = [everything] * len(task.bits)
        order = self._facts_back(state)
        open_facts, waiting = ~state, sum(1 << fact for fact in order)
        relevant, queue = waiting, deque(order)
        while queue:
            fact = queue.popleft()
            waiting &= ~(1 << fact)
            common = everything
            for giver in givers[fact]:
                way = 1 << giver
                unmet = needs[giver] & open_facts
                while unmet:
                    low = unmet & -unmet
                    way |= before[low.bit_length() - 1]
                    unmet ^= low
                common &= way
            if before[fact] != common:
                before[fact] = common
                again = self.dependents[fact] & relevant & ~waiting
                queue.extend(bits_of(again))
                waiting |= again
        needed = 0
        for fact in bits_of(task.goal & ~state):
            if before[fact] == everything:
                return None
            needed |= before[fact]
        return needed, {fact: before[fact] for fact in order}

    def _facts_back(self, state: int) -> list[int]:
        """Unmet facts on ways back from the goal, those nearest the state first."""
        needs, givers = self.task.step_need, self.givers
        order: list[int] = []
        seen = 0
        stack = [~fact for fact in bits_of(self.task.goal & ~state)]
        while stack:
            fact = stack.pop()
            if fact >= 0:
                order.append(fact)
                continue
            fact = ~fact
            if seen >> fact & 1:
                continue
            seen |= 1 << fact
            stack.append(fact)
            for giver in givers[fact]:
                stack += [~need for need in bits_of(needs[giver] & ~state & ~seen)]
        return order

    def rest(self, state: int) -> Rest:
        """The bound in a state."""
        if self.task.goal & ~state == 0:
            return Rest(0.0, 0)
        found = self.landmarks(state)
        if found is None:
            return Rest(float("inf"), 0, impossible=True)
        needed, before = found
        prior = {step: self._prior(step, state, before) for step in bits_of(needed)}
        cost = sum(self.task.step_cost[step] for step in bits_of(needed & ~self.cyclic))
        cost += sum(window.cost(state, needed, prior) for window in self.windows)
        cost += sum(self._walking(role, state, needed, prior) for role in self.by_role)
        wanted = sum(1 << fact for fact in before)
        return Rest(cost, needed, prior, wanted)

    def _prior(self, step: int, state: int, before: dict[int, int]) -> int:
        mask = 0
        for need in bits_of(self.task.step_need[step] & ~state):
            mask |= before.get(need, 0)
        return mask

    def _walking(self, role: str, state: int, needed: int, prior: dict[int, int]) -> float:
        """The longest chain of places in forced order, and the role's climbs left out of it count as nothing."""
        mine = bits_of(needed & self.by_role[role])
        if not mine:
            return 0.0
        here = self._place_of(role, state)
        steps, entrance = self.task.steps, self.entrance
        best: dict[int, float] = {}
        for step in sorted(mine, key=lambda index: prior[index].bit_count()):
            place = entrance[steps[step].place or ""]
            longest = self.domain.walk_s(here, place) or 0.0
            for earlier, length in best.items():
                if prior[step] >> earlier & 1:
                    stood = entrance[steps[earlier].goes_to or steps[earlier].place or ""]
                    longest = max(longest, length + (self.domain.walk_s(stood, place) or 0.0))
            best[step] = longest
        return max(best.values())

    def _place_of(self, role: str, state: int) -> str:
        at = place_key(role)
        for name, bit in self.task.bits.items():
            if name[0] == at and state >> bit & 1 and isinstance(name[1], str):
                return self.entrance[name[1]]
        raise ValueError(f"{role} stands nowhere")


class _WindowCount:
    """How often a closed place must still be entered, from the forced order of work inside and work that needs it shut."""

    def __init__(self, window: Window, number: dict[str, int], task: Task) -> None:
        steps = task.steps
        self.opening = self._cheapest(window.opened_by, number, task)
        self.closing = self._cheapest(window.closed_by, number, task)
        keys = {key for group in (*window.opened_by, *window.closed_by) for key in group}
        self.cyclic = sum(1 << number[key] for key in keys if key in number)
        self.inside = sum(1 << i for i, step in enumerate(steps) if self._is_inside(step, window)) & ~self.cyclic
        self.outside = sum(1 << i for i, step in enumerate(steps) if window.shut in step.needs) & ~self.cyclic
        undone = tuple(group for group in window.opened_by if any(self._opens(steps[number[key]], window) for key in group))
        self.already_open = self._cheapest(undone, number, task)
        shut = task.bits.get(window.shut)
        self.shut_bit = 0 if shut is None else 1 << shut
        bit = task.bits.get((place_key(window.role), window.inside))
        self.in_bit = 0 if bit is None else 1 << bit

    @staticmethod
    def _is_inside(step: Step, window: Window) -> bool:
        return step.place == window.inside and step.role == window.role

    @staticmethod
    def _opens(step: Step, window: Window) -> bool:
        return any(key == window.shut[0] and value != window.shut[1] for key, value in step.effects)

    @staticmethod
    def _cheapest(groups: tuple[tuple[str, ...], ...], number: dict[str, int], task: Task) -> float:
        """Cost of one step of each group, the cheapest [s]."""
        found = [[task.step_cost[number[key]] for key in group if key in number] for group in groups]
        return sum(min(costs) for costs in found if costs)

    def cost(self, state: int, needed: int, prior: dict[int, int]) -> float:
        """Seconds for the entries and exits that are still to come."""
        is_in = bool(state & self.in_bit)
        stays: dict[int, tuple[int, bool]] = {}
        for step in sorted(bits_of(needed & (self.inside | self.outside)), key=lambda s: prior[s].bit_count()):
            count, shut_since = (1, False) if is_in else (0, True)
            for earlier, (stay, since) in stays.items():
                if prior[step] >> earlier & 1 and (stay, since) > (count, shut_since):
                    count, shut_since = stay, since
            if self.inside >> step & 1:
                stays[step] = (count + 1, False) if shut_since else (count, False)
            else:
                stays[step] = (count, True)
        most = max((stay for stay, _ in stays.values()), default=1 if is_in else 0)
        entries = most - 1 if is_in else most
        exits = most if is_in or entries else 0
        # Out, but not shut again: the next entry needs no opening of its own.
        spared = self.already_open if entries and not is_in and not state & self.shut_bit else 0.0
        return entries * self.opening + exits * self.closing - spared
