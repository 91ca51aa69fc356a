"""Forced takings being gathered, each with those that come before it."""

from __future__ import annotations

from headstock.reasoning.fact_pairs import FactPairs, largest_apart
from headstock.reasoning.fitting import Fitting
from headstock.reasoning.forced import Forced, ForcedSteps
from headstock.reasoning.landmarks import Landmarks
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step_forms import StepForms


class ForcedOrder:
    """Landmarks that are surely different takings, in their order, to which others are added."""

    def __init__(self, forms: StepForms, pairs: FactPairs, marks: Landmarks) -> None:
        self.forms, self.pairs, self.marks = forms, pairs, marks
        self.fits = Fitting(forms, pairs)
        self.result = ForcedSteps()
        self.of_step: dict[int, int] = {}
        self.gone_after: list[int] = []
        self.before_taking: list[int] = []
        self.after_taking: list[int] = []
        self.counted: list[bool] = []
        self.looked_at = 0
        self.ever: list[int] = []
        self._add_landmarks()

    def _add_landmarks(self) -> None:
        named = []
        for step in range(len(self.forms.need)):
            found = self.marks.marks_of(step, self.marks.goal)
            if found:
                worth = {context - 1: before.bit_count() for context, before in self.marks.before[step].items()}
                apart = largest_apart([context - 1 for context in bits_of(found) if context], self.pairs, worth)
                named += [(step, context + 1) for context in apart or [-1]]
        for step, context in named:
            self.add((step,), 0, context)
        for number, (step, context) in enumerate(named):
            self.result.before[number] = self._named_in(self.marks.before[step][context]) & ~(1 << number)
        self.ever = [self._named_in(marks) for marks in self.marks.ever_before]

    def add(self, steps: tuple[int, ...], before: int, context: int = 0, counted: bool = True) -> int:
        number = len(self.result.forced)
        ever = -1 if self.ever else 0
        for step in steps if self.ever else ():
            ever &= self.ever[step]
        before |= ever
        fact = self.pairs.contexts[context - 1] if context else None
        self.result.forced.append(Forced(steps, fact))
        self.result.before.append(before)
        gone = self.fits.gone_after(steps[0])
        for step in steps[1:]:
            gone &= self.fits.gone_after(step)
        self.gone_after.append(gone)
        context_before, context_after = self.fits.around(steps)
        self.before_taking.append(context_before)
        self.after_taking.append(context_after)
        self.counted.append(counted)
        if counted:
            for step in steps:
                self.of_step[step] = self.of_step.get(step, 0) | 1 << number
        return number

    def _named_in(self, marks: int) -> int:
        """Forced takings that a set of marks names."""
        mask = 0
        for step, numbers in self.of_step.items():
            found = self.marks.marks_of(step, marks)
            if not found:
                continue
            is_once = self.fits.is_once(step)
            for number in bits_of(numbers):
                fact = self.result.forced[number].context
                context = 0 if fact is None else self.pairs.contexts.index(fact) + 1
                if is_once or found >> context & 1:
                    mask |= 1 << number
        return mask

    def close(self) -> bool:
        """The order closed over itself; false when something would come before itself."""
        before, grown = self.result.before, True
        while grown:
            grown = False
            for number, mask in enumerate(before):
                whole = mask
                for earlier in bits_of(mask):
                    whole |= before[earlier]
                if whole >> number & 1:
                    return False
                if whole != mask:
                    before[number] = whole
                    grown = True
        return True

    def never_after(self) -> bool:
        """Takings that need a fact come before those that lose it for good, where nothing that gives it fits between."""
        forced = self.result.forced
        grown = False
        for loser in range(self.looked_at, len(forced)):
            grown = self._put_before(loser, range(len(forced))) or grown
        for loser in range(self.looked_at):
            grown = self._put_before(loser, range(self.looked_at, len(forced))) or grown
        self.looked_at = len(forced)
        return grown

    def _put_before(self, loser: int, users: range) -> bool:
        forced, before = self.result.forced, self.result.before
        gone, earlier = self.gone_after[loser], before[loser]
        for user in users:
            steps = forced[user].steps
            lost = self.forms.need[steps[0]] & gone if len(steps) == 1 and user != loser else 0
            if lost and not earlier >> user & 1 and steps != forced[loser].steps and self._is_lost_for(lost, loser, user):
                before[loser] |= 1 << user
        return before[loser] != earlier

    def _is_lost_for(self, facts: int, loser: int, user: int) -> bool:
        """Whether nothing can give one of the facts between the two."""
        return any(not self.fitting(fact, loser, user) for fact in bits_of(facts))

    def counted_of(self, steps: list[int]) -> int:
        """Counted takings of steps."""
        mask = 0
        for step in steps:
            mask |= self.of_step.get(step, 0)
        return mask

    def fitting(self, fact: int, loser: int, user: int) -> list[int]:
        """Givers of a fact that can be taken after one taking (-1: the start) and before another (their number: the end)."""
        after = self.after_taking[loser] if loser >= 0 else -1
        return self.fits.between(fact, after, self.before_taking[user] if user < len(self.before_taking) else -1)

    def put(self, steps: tuple[int, ...], loser: int, users: set[int], fact: int, counted: bool = True) -> None:
        """Add the first taking that gives a fact after ``loser``: it comes before all that need the fact after that."""
        number = self.add(steps, self.result.before[loser] | 1 << loser if loser >= 0 else 0, counted=counted)
        self.result.forced[number] = Forced(steps, None, (loser, sum(1 << user for user in users), fact), counted)
        for user in users:
            self.result.before[user] |= 1 << number
