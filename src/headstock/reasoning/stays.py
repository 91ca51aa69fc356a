"""Whoever came out of a closed place too early must go in once more: what that costs beyond the forced takings."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Window
from headstock.reasoning.encoding import Task
from headstock.reasoning.forced import Forced


class StayAgain:
    """One closed place of one role: its forced work inside, and the steps that lead in.

    With work inside left, the role outside, and no taking of a way in left among the forced ones, one more entry comes on top
    of them: none of the takings that are counted is that entry.
    """

    def __init__(self, window: Window, task: Task, forced: Sequence[Forced]) -> None:
        steps, bits, shut = task.steps, task.bits, window.shut
        within = {(window.role, window.inside)}
        self.inside = sum(1 << n for n, taking in enumerate(forced)
                          if taking.counted and {(steps[s].role, steps[s].place) for s in taking.steps} == within)  # fmt: skip
        entries = [n for n, step in enumerate(steps) if step.role == window.role and step.goes_to == window.inside]
        self.in_bit = 1 << bits[(place_key(window.role), window.inside)] if entries else 0
        self.shut_bit = 1 << bits[shut] if shut in bits else 0
        givers = [n for n, step in enumerate(steps) if any(key == shut[0] and value != shut[1] for key, value in step.effects)]
        asks = all(any(key == shut[0] and value != shut[1] for key, value in steps[n].needs) for n in entries)
        self.steps = frozenset((*entries, *givers))
        self.entry = self._group(entries, task, forced)
        self.giving = self._group(givers if asks else [], task, forced)

    @staticmethod
    def _group(numbers: list[int], task: Task, forced: Sequence[Forced]) -> tuple[int, float]:
        """Takings that may be one of these steps, and the cheapest step [s]."""
        wanted = set(numbers)
        takings = sum(1 << n for n, taking in enumerate(forced) if taking.counted and wanted & set(taking.steps))
        return takings, min((task.step_cost[n] for n in numbers), default=0.0)

    def cost(self, left: int, state: int) -> float:
        """Seconds of one more entry, 0 where none is sure."""
        if not left & self.inside or not self.in_bit or state & self.in_bit or left & self.entry[0]:
            return 0.0
        opened = self.giving[1] if state & self.shut_bit and not left & self.giving[0] else 0.0
        return self.entry[1] + opened
