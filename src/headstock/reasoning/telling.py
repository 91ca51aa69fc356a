"""Knowledge that travels: one owner for a fact, who tells whoever needs it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact, Variable


def learns_by_own_hand(step: Step, variables: Mapping[str, Variable]) -> tuple[Fact, ...]:
    """Facts that the acting role knows because it did them: handles, never signs."""
    return tuple(fact for fact in step.effects if not variables[fact[0]].sign)


def learned(step: Step, variables: Mapping[str, Variable]) -> tuple[Fact, ...]:
    """All facts that the acting role knows at first hand after this step."""
    return step.shows + learns_by_own_hand(step, variables)


def wanted_knowledge(steps: Iterable[Step], goal: Iterable[tuple[str, Fact]]) -> tuple[tuple[str, Fact], ...]:
    """(role, fact) pairs that some step or the end state asks for, each once, in order."""
    pairs = [(step.role, fact) for step in steps for fact in step.knows]
    return tuple(dict.fromkeys(pairs + list(goal)))


def tellings(
    steps: tuple[Step, ...],
    goal: tuple[tuple[str, Fact], ...],
    variables: Mapping[str, Variable],
    duration_s: float,
    phase_of: Callable[[Fact], str],
    named_owners: Mapping[str, str],
) -> tuple[Step, ...]:
    """One telling step for each fact that somebody needs and somebody else owns.

    The owner is the one role whose steps show the fact, or the one that ``named_owners`` gives for the variable. A role
    that owns it, or can learn it itself where no owner is named, is never told, nor is one that another step already
    tells. Two owners for one fact are a fault of the model (ValueError), since hearsay could then travel.
    """
    told = {(step.hearer, fact) for step in steps for fact in step.tells}
    owners: dict[Fact, list[str]] = {}
    for step in steps:
        for fact in learned(step, variables):
            roles = owners.setdefault(fact, [])
            if step.role not in roles:
                roles.append(step.role)
    made: list[Step] = []
    for role, fact in wanted_knowledge(steps, goal):
        roles = owners.get(fact, [])
        if len(roles) > 1 and named_owners.get(fact[0]) in roles:
            roles = [named_owners[fact[0]]]
        if role in roles or not roles or (role, fact) in told:
            continue
        if len(roles) > 1 and role in owners[fact]:
            continue
        if len(roles) > 1:
            raise ValueError(f"{fact} has two owners: {', '.join(roles)}")
        made.append(one_telling(roles[0], role, fact, variables, duration_s, phase_of(fact)))
    return tuple(made)


def one_telling(owner: str, hearer: str, fact: Fact, variables: Mapping[str, Variable], duration_s: float, phase: str) -> Step:
    """Who owns a fact says it to one hearer, who says it back."""
    words = variables[fact[0]].say(fact[1])
    return Step(
        key=f"tell the {hearer}: {words}",
        role=owner,
        place=None,
        knows=(fact,),
        tells=(fact,),
        hearer=hearer,
        duration_s=duration_s,
        phase=phase,
        said=(Utterance(owner, hearer, words[0].upper() + words[1:] + "."),),
        hears=(hearer,),
    )
