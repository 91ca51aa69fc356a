"""Which steps that give a fact can be taken after one step and before another, by the values of some variables."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.reasoning.fact_pairs import FactPairs
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step_forms import StepForms


class Fitting:
    """``givers`` of each fact; the contexts that can hold at each step and after it, and those they lead to."""

    def __init__(self, forms: StepForms, pairs: FactPairs) -> None:
        self.forms, self.pairs = forms, pairs
        self.givers: list[list[int]] = [[] for _ in range(forms.facts)]
        for step, gain in enumerate(forms.gain):
            if not pairs.never >> step & 1:
                for fact in bits_of(gain & ~forms.need[step]):
                    self.givers[fact].append(step)
        at = [self._contexts_at(step) for step in range(len(forms.need))]
        self.before_step, self.after_step = [before for before, _ in at], [after for _, after in at]
        self.leads_to = self._leading()
        self.reached_from: dict[int, list[int]] = {}
        self.leading: dict[tuple[int, int], bool] = {}
        self.known: dict[tuple[int, int], dict[int, list[int]]] = {}

    def around(self, steps: Sequence[int]) -> tuple[int, int]:
        """Contexts that can hold before a taking and after it, whichever of its steps it is."""
        before = after = 0
        for step in steps:
            before |= self.before_step[step]
            after |= self.after_step[step]
        return before, after

    def between(self, fact: int, after: int, until: int) -> list[int]:
        """Givers of a fact that fit after contexts (-1: any, as at the start) and before others (-1: any, as at the end)."""
        known = self.known_before(fact, until)
        found = known.get(after)
        return self.look_up(known, fact, after, until) if found is None else found

    def known_before(self, fact: int, until: int) -> dict[int, list[int]]:
        """What has been worked out for a fact before some contexts, by the contexts that it comes after."""
        return self.known.setdefault((fact, until), {})

    def look_up(self, known: dict[int, list[int]], fact: int, after: int, until: int) -> list[int]:
        """Work it out and keep it in ``known``, which is ``known_before`` of the same fact and contexts."""
        found = known[after] = [
            step
            for step in self.givers[fact]
            if self._leads(after, self.before_step[step]) and self._leads(self.after_step[step], until)
        ]
        return found

    def _leads(self, first: int, then: int) -> bool:
        """Whether every variable can come from one of its values in ``first`` to one in ``then`` (-1: any)."""
        if first < 0 or then < 0:
            return True
        key = first, then
        found = self.leading.get(key)
        if found is None:
            groups = self.reached_from.get(first)
            if groups is None:
                reached = 0
                for context in bits_of(first):
                    reached |= self.leads_to[context]
                groups = self.reached_from[first] = [reached & group for group in self.pairs.groups if group & ~reached]
            found = self.leading[key] = all(group & then for group in groups)
        return found

    def _leading(self) -> list[int]:
        """For each context the contexts of its variable that steps can lead to from it."""
        table = [1 << context for context in range(len(self.pairs.contexts))]
        for group in self.pairs.groups:
            edges = [(self.before_step[step] & group, self.after_step[step] & group)
                     for step in range(len(self.forms.need)) if not self.pairs.never >> step & 1]  # fmt: skip
            edges = [(first, then) for first, then in dict.fromkeys(edges) if first != then]
            grown = True
            while grown:
                grown = False
                for context in bits_of(group):
                    for first, then in edges:
                        if table[context] & first and then & ~table[context]:
                            table[context] |= then
                            grown = True
        return table

    def _contexts_at(self, step: int) -> tuple[int, int]:
        """Contexts that can hold when a step is taken, and after it."""
        can = (1 << len(self.pairs.contexts)) - 1
        for fact in bits_of(self.forms.need[step]):
            can &= self.pairs.with_context[fact]
        after = can
        for index, fact in enumerate(self.pairs.contexts):
            if self.forms.gain[step] >> fact & 1:
                after = after & ~next(group for group in self.pairs.groups if group >> index & 1) | 1 << index
            elif self.forms.lose[step] >> fact & 1:
                after &= ~(1 << index)
        return can, after

    def gone_after(self, step: int) -> int:
        """Facts that are not so after a step: lost by it, or shut out by what it needs."""
        together = self.before_step[step]
        shut_out = sum(1 << fact for index, fact in enumerate(self.pairs.contexts) if not together >> index & 1)
        for fact in bits_of(self.forms.need[step] & (1 << len(self.forms.others)) - 1):
            shut_out |= self.forms.others[fact]
        return (self.forms.lose[step] | shut_out) & ~self.forms.gain[step]

    def is_once(self, step: int) -> bool:
        """Whether no way contains a step twice: it needs and loses what nothing gives."""
        return any(not self.givers[fact] for fact in bits_of(self.forms.need[step] & self.forms.lose[step]))
