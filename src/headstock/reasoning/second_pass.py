"""Second pass: among the orders of the steps found, one that reads well, at the same cost."""

from __future__ import annotations

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.telling import learned


def settle_order(steps: tuple[Step, ...], domain: Domain) -> tuple[Step, ...]:
    """The same steps, kept in every forced order, with phases together, customary things first, few changes of role.

    A role's own steps change places among themselves only where that adds no walking: at one place, or said from
    anywhere.
    """
    before = partial_order(steps, domain)
    waits_for = _customary_waits(steps, before, domain)
    phase_rank = {phase: rank for rank, phase in enumerate(domain.phases)}
    left = list(range(len(steps)))
    done: set[int] = set()
    ordered: list[Step] = []
    while left:
        ready = [index for index in left if before[index] <= done]
        last = ordered[-1] if ordered else None
        choice = min(ready, key=lambda index: _wish(steps[index], index, last, phase_rank, waits_for[index] <= done))
        ordered.append(steps[choice])
        done.add(choice)
        left.remove(choice)
    return tuple(ordered)


def _customary_waits(steps: tuple[Step, ...], before: list[set[int]], domain: Domain) -> list[set[int]]:
    """For each step those of its phase that custom puts first and that do not rest on it."""
    ranks = [min((domain.customary[key] for key, _ in step.effects if key in domain.customary), default=None) for step in steps]
    rests_on: list[set[int]] = []
    for earlier in before:
        rests_on.append(earlier.union(*(rests_on[index] for index in earlier)))
    waits: list[set[int]] = []
    for here, (step, rank) in enumerate(zip(steps, ranks, strict=True)):
        waits.append({
            other for other, theirs in enumerate(ranks)
            if rank is not None and theirs is not None and theirs < rank
            and steps[other].phase == step.phase and here not in rests_on[other]
        })  # fmt: skip
    return waits


def _wish(step: Step, index: int, last: Step | None, phase_rank: dict[str, int], has_its_turn: bool) -> tuple[object, ...]:
    same_role = 0 if last is not None and step.role == last.role else 1
    same_hearer = 0 if last is not None and step.hearer == last.hearer and step.tells else 1
    rank = phase_rank.get(step.phase, phase_rank.get(last.phase, 0) if last is not None else 0)
    return (rank, not has_its_turn, same_role, same_hearer, step.order or (99,), index)


def partial_order(steps: tuple[Step, ...], domain: Domain) -> list[set[int]]:
    """For each step the earlier ones that it must follow."""
    before: list[set[int]] = []
    for later, step in enumerate(steps):
        before.append({earlier for earlier in range(later) if _forced(steps[earlier], step, domain)})
    return before


def _forced(first: Step, second: Step, domain: Domain) -> bool:
    if first.role == second.role and first.place is not None and second.place is not None:
        if (first.goes_to or first.place) != second.place or (first.place != first.goes_to and first.goes_to):
            return True
        if second.goes_to or first.place != second.place:
            return True
    if _meets(first, second, domain) or _meets(second, first, domain):
        return True
    return bool(set(first.touched()) & set(second.touched())) or _ages_between(first, second, domain)


def _meets(giver: Step, user: Step, domain: Domain) -> bool:
    """Whether one sets, shows or tells what the other rests on."""
    set_keys = {key for key, _ in giver.effects} | {domain.voids[k][0] for k, _ in giver.effects if k in domain.voids}
    rests_on = {key for key, _ in user.needs} | {key for key, _ in user.knows} | {key for key, _ in user.shows}
    if set_keys & rests_on:
        return True
    given = {(giver.role, fact) for fact in learned(giver, domain.variables)}
    given |= {(giver.hearer, fact) for fact in giver.tells}
    return bool(given & {(user.role, fact) for fact in user.knows}) or _goes_or_comes(giver, user)


def _goes_or_comes(giver: Step, user: Step) -> bool:
    """A step that needs somebody's whereabouts keeps its place against that person's walking."""
    return giver.place is not None and place_key(giver.role) in {key for key, _ in user.needs}


def _ages_between(first: Step, second: Step, domain: Domain) -> bool:
    """Steps that make fresh knowledge age keep their order with those that win it or rest on it."""
    for ager, other in ((first, second), (second, first)):
        if ager.ages == "nobody" or (ager.ages == "self" and other.role != ager.role and not other.tells):
            continue
        facts = (*other.knows, *other.shows, *other.tells)
        if any(domain.variables[fact[0]].fresh for fact in facts):
            return True
    return False
