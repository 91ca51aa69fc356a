"""Which facts can hold together with which values of some variables, and what a step needs though nobody wrote it down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step_forms import StepForms


@dataclass(slots=True)
class FactPairs:
    """``contexts``: facts that others are paired with; ``groups``: those of one variable, as masks over contexts.

    ``with_context[fact]`` is the mask of contexts that can hold together with a fact, by pairs: what is not in it cannot.
    ``never`` is the mask of steps that can never be taken.
    """

    contexts: list[int]
    groups: list[int]
    with_context: list[int]
    never: int = 0
    told_apart: int = 0

    def excludes(self, first: int, second: int) -> bool:
        """Whether two contexts never hold together."""
        return not self.with_context[self.contexts[first]] >> second & 1


def largest_apart(contexts: list[int], pairs: FactPairs, worth: Mapping[int, int]) -> list[int]:
    """The largest set of contexts of which any two exclude one another; of those as large the one worth most."""
    best: list[int] = []
    most = (0, 0)
    stack: list[tuple[list[int], list[int]]] = [([], contexts)]
    while stack:
        chosen, left = stack.pop()
        found = len(chosen), sum(worth[one] for one in chosen)
        if found > most:
            best, most = chosen, found
        if len(chosen) + len(left) < len(best):
            continue
        for index, one in enumerate(left):
            stack.append(([*chosen, one], [other for other in left[index + 1 :] if pairs.excludes(one, other)]))
    return best


def context_groups(task: Task, domain: Domain, variables: list[str]) -> list[list[int]]:
    """Facts of each variable, where one of them always holds."""
    groups = []
    for key in variables:
        values = {name[1]: bit for name, bit in task.bits.items() if name[0] == key and isinstance(name[1], str)}
        can = {value for step in task.steps for touched, value in step.effects if touched == key}
        can |= {void[1] for void in domain.voids.values() if void[0] == key} | {domain.start[key]}
        if len(values) > 1 and can <= set(values):
            groups.append(sorted(values.values()))
    return groups


def fact_pairs(forms: StepForms, groups: list[list[int]], more: list[list[int]] | tuple[()] = ()) -> FactPairs:
    """Pairs that can be reached, from below; steps then get the one value of a variable that their needs leave as a need.

    What a step's needs can hold together with is the meet of what each can; a variable of which one value is left must
    have that value, a variable of which none is left makes the step impossible. Both are repeated until nothing changes.
    """
    told_apart = sum(len(group) for group in groups)
    groups = [*groups, *more]
    contexts = [fact for group in groups for fact in group]
    number = {fact: index for index, fact in enumerate(contexts)}
    masks = [sum(1 << number[fact] for fact in group) for group in groups]
    while True:
        pairs = _reached(forms, contexts, number)
        pairs.groups, pairs.told_apart = masks, told_apart
        grown = False
        for step, need in enumerate(forms.need):
            if pairs.never >> step & 1:
                continue
            can = _together(need, pairs)
            for mask in masks:
                left = can & mask
                if left and left & (left - 1) == 0 and not need >> contexts[left.bit_length() - 1] & 1:
                    forms.need[step] |= 1 << contexts[left.bit_length() - 1]
                    grown = True
        if not grown:
            return pairs


def _together(need: int, pairs: FactPairs) -> int:
    can = (1 << len(pairs.contexts)) - 1
    for fact in bits_of(need):
        can &= pairs.with_context[fact]
    return can


class _Growth:
    """The reached pairs, kept both ways: contexts by fact, facts by context."""

    def __init__(self, forms: StepForms, contexts: list[int]) -> None:
        self.reached = forms.start
        self.facts_with = [forms.start if forms.start >> fact & 1 else 0 for fact in contexts]
        now = sum(1 << index for index, fact in enumerate(contexts) if forms.start >> fact & 1)
        self.with_context = [now if forms.start >> fact & 1 else 0 for fact in range(forms.facts)]
        self.grown = True

    def add(self, fact: int, contexts: int) -> None:
        """A fact together with contexts."""
        new = contexts & ~self.with_context[fact]
        if new:
            self.grown = True
            self.with_context[fact] |= new
            for context in bits_of(new):
                self.facts_with[context] |= 1 << fact


def _reached(forms: StepForms, contexts: list[int], number: dict[int, int]) -> FactPairs:
    growth = _Growth(forms, contexts)
    everything = (1 << len(contexts)) - 1
    needs, gains = [bits_of(need) for need in forms.need], [bits_of(gain) for gain in forms.gain]
    asked = [sum(1 << number[fact] for fact in need if fact in number) for need in needs]
    given = [sum(1 << number[fact] for fact in gain if fact in number) for gain in gains]
    lost = [sum(1 << number[fact] for fact in bits_of(lose) if fact in number) for lose in forms.lose]
    taken = 0
    while growth.grown:
        growth.grown = False
        for step, need in enumerate(forms.need):
            if need & ~growth.reached:
                continue
            can = everything
            for fact in needs[step]:
                can &= growth.with_context[fact]
            if asked[step] & ~can:
                continue
            taken |= 1 << step
            if forms.gain[step] & ~growth.reached:
                growth.reached |= forms.gain[step]
                growth.grown = True
            for fact in gains[step]:
                growth.add(fact, can & ~lost[step] | given[step])
            _keep(growth, forms, step, asked[step], given[step])
    never = (1 << len(forms.need)) - 1 & ~taken
    return FactPairs(contexts, [], growth.with_context, never)


def _keep(growth: _Growth, forms: StepForms, step: int, asked: int, given: int) -> None:
    """Facts that outlast a step now hold together with the contexts that it gives."""
    if not given:
        return
    kept = growth.reached & ~forms.lose[step]
    for context in bits_of(asked):
        kept &= growth.facts_with[context]
    for context in bits_of(given):
        for fact in bits_of(kept & ~growth.facts_with[context]):
            growth.add(fact, 1 << context)
