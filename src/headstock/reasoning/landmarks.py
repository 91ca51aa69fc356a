"""Steps that stand on every way to the goal, told apart by the values of some variables while they are taken.

Landmarks of the problem in which pairs of a fact and a context (one value of a few chosen variables) are what is never lost: a
lock that must be shut before and after a movement is counted twice, since it is shut in two contexts that exclude one another.
Source of the idea, from memory: landmarks over conjunctions of facts (Keyder, Richter, Helmert 2010).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from headstock.reasoning.fact_pairs import FactPairs
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step_forms import StepForms

Words = npt.NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class Landmarks:
    """For each pair of fact and context (0: none) the marks on every way to it; marks for the goal, and before each step.

    A mark is step * (contexts + 1) + context + 1, or + 0 where no context is said. ``ever_before[step]``: marks before any
    taking of a step, in whatever context.
    """

    contexts: int
    goal: int
    before: tuple[dict[int, int], ...]
    steps_before: tuple[int, ...]
    ever_before: tuple[int, ...]

    def marks_of(self, step: int, marks: int) -> int:
        """The contexts (shifted by one; bit 0: any) in which marks name a step."""
        width = self.contexts + 1
        return marks >> step * width & (1 << width) - 1


class LandmarkFinder:
    """Greatest sets of marks that every achiever of a pair agrees on."""

    def __init__(self, forms: StepForms, pairs: FactPairs) -> None:
        self.forms, self.pairs = forms, pairs
        told_apart = pairs.contexts[: pairs.told_apart]
        self.width = len(told_apart) + 1
        self.words = (len(forms.need) * self.width + 64) // 64
        self.number = {fact: index + 1 for index, fact in enumerate(told_apart)}
        self.sets: Words = np.full((forms.facts, self.width, self.words), ~np.uint64(0))
        now = [0, *(self.number[fact] for fact in told_apart if forms.start >> fact & 1)]
        for fact in bits_of(forms.start):
            self.sets[fact, now] = 0
        self.changed = np.ones(forms.facts, dtype=np.int64)
        self.columns = np.ones(self.width, dtype=np.int64)
        self.clock = 1
        self.order = self._order()
        self.asked = [[self.number[f] for f in bits_of(need) if f in self.number] for need in forms.need]

    def _order(self) -> list[int]:
        """Steps that can be taken, those that can be taken early first."""
        left = [step for step in range(len(self.forms.need)) if not self.pairs.never >> step & 1]
        order: list[int] = []
        state = self.forms.start
        while left:
            now = [step for step in left if not self.forms.need[step] & ~state]
            left = [step for step in left if self.forms.need[step] & ~state]
            for step in now:
                state |= self.forms.gain[step]
            order += now
        return order

    def find(self) -> Landmarks | None:
        """Run to the fixpoint and read off the goal's marks and those before each step; None when no way leads there."""
        works = [_StepWork(self, step) for step in self.order]
        grown = True
        while grown:
            grown = False
            for work in works:
                grown = work.narrow() or grown
        goal = bits_of(self.forms.goal)
        contexts = [0, *(self.number[fact] for fact in goal if fact in self.number)]
        marks = _as_int(np.bitwise_or.reduce(self.sets[goal][:, contexts].reshape(-1, self.words), axis=0))
        if marks >> len(self.forms.need) * self.width:
            return None  # beyond the last step only what was never reached has marks
        before: list[dict[int, int]] = [{} for _ in self.forms.need]
        for work in works:
            before[work.step] = work.before(marks)
        ever = [0] * len(self.forms.need)
        for work in works:
            ever[work.step] = _as_int(work.sets()[0] & ~self.marks(work.step, list(range(self.width))))
        return Landmarks(self.width - 1, marks, tuple(before), tuple(self._named(found) for found in ever), tuple(ever))

    def _named(self, marks: int) -> int:
        """The steps that marks name."""
        one = (1 << self.width) - 1
        return sum(1 << step for step in self.order if marks >> step * self.width & one)

    def marks(self, step: int, contexts: list[int]) -> Words:
        """The marks of a step in contexts."""
        made = np.zeros(self.words, dtype=np.uint64)
        for context in contexts:
            mark = step * self.width + context
            made[mark // 64] |= np.uint64(1 << mark % 64)
        return made


def _as_int(words: Words) -> int:
    return int.from_bytes(words.astype("<u8").tobytes(), "little")


class _StepWork:
    """What one step narrows: the sets of what it gains, and of what outlasts it together with the contexts it gives."""

    def __init__(self, finder: LandmarkFinder, step: int) -> None:
        self.finder, self.step, self.seen = finder, step, 0
        forms, number = finder.forms, finder.number
        self.needs, self.gains = bits_of(forms.need[step]), bits_of(forms.gain[step])
        self.asked = [0, *finder.asked[step]]
        self.given = [number[fact] for fact in self.gains if fact in number]
        self.lost = [number[fact] for fact in bits_of(forms.lose[step]) if fact in number]
        touched = forms.lose[step] | forms.gain[step]
        self.kept = np.array([fact for fact in range(forms.facts) if not touched >> fact & 1])
        self.own = np.stack([finder.marks(step, [*self.asked, context]) for context in range(finder.width)])

    def sets(self) -> Words:
        """The marks before the step and its own, by context."""
        sets = self.finder.sets
        found: Words = self.own | np.bitwise_or.reduce(sets[self.needs], axis=0) if self.needs else self.own.copy()
        found |= np.bitwise_or.reduce(found[self.asked], axis=0)
        return found

    def narrow(self) -> bool:
        """Narrow all that the step bears on; whether anything changed. What cannot have changed is not looked at again."""
        finder, seen = self.finder, self.seen
        self.seen = finder.clock
        is_row_due = bool(self.needs and finder.changed[self.needs].max() > seen) or seen == 0
        is_column_due = bool(self.given) and (is_row_due or bool(finder.columns[self.asked].max() > seen))
        if not is_row_due and not is_column_due:
            return False
        sets, found = finder.sets, self.sets()
        base = found[0].copy()
        changed = False
        found[self.lost] = ~np.uint64(0)
        found[self.given] = base
        for fact in self.gains:
            narrowed = sets[fact] & found
            differs = (narrowed != sets[fact]).any(axis=1)
            if differs.any():
                sets[fact] = narrowed
                finder.clock += 1
                finder.changed[fact] = finder.clock
                finder.columns[differs] = finder.clock
                changed = True
        if is_column_due and len(self.kept):
            changed = self._keep(base) or changed
        return changed

    def _keep(self, base: Words) -> bool:
        sets, changed = self.finder.sets, False
        kept = sets[self.kept, 0] | base
        for context in self.asked[1:]:
            kept |= sets[self.kept, context]
        for context in self.given:
            narrowed = sets[self.kept, context] & kept
            differs = (narrowed != sets[self.kept, context]).any(axis=1)
            if differs.any():
                sets[self.kept, context] = narrowed
                self.finder.clock += 1
                self.finder.changed[self.kept[differs]] = self.finder.clock
                self.finder.columns[context] = self.finder.clock
                changed = True
        return changed

    def before(self, goal: int) -> dict[int, int]:
        """By context (shifted by one) in which the goal's marks name the step: the marks before it."""
        named = goal >> self.step * self.finder.width & (1 << self.finder.width) - 1
        if not named:
            return {}
        found = self.sets()
        return {context: _as_int(found[context]) for context in bits_of(named)}
