"""Why each step is there: the later step that rests on it, or the end state that asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.telling import learned
from headstock.reasoning.variable import Fact


@dataclass(frozen=True, slots=True)
class Because:
    """The line that needs the step (0: the end state; None: nothing does), and the fact it needs, in words."""

    line: int | None
    fact: str

    def words(self) -> str:
        """A short sentence for a sheet."""
        if self.line is None:
            return "second look, kept on purpose"
        if self.line == 0:
            return f"because the end state asks: {self.fact}"
        return f"because line {self.line} needs: {self.fact}"


def explain_order(steps: Sequence[Step], domain: Domain) -> tuple[Because, ...]:
    """For each step the first later line that rests on what it gives, before anything takes that away again."""
    return tuple(_because(number, steps, domain) for number in range(len(steps)))


def _because(number: int, steps: Sequence[Step], domain: Domain) -> Because:
    step = steps[number]
    facts = set(step.effects)
    known = {(step.role, fact) for fact in learned(step, domain.variables)} | {(step.hearer, f) for f in step.tells}
    for later in range(number + 1, len(steps)):
        user = steps[later]
        for fact in user.needs:
            if fact in facts:
                return Because(later + 1, _say(fact, domain))
        for fact in user.knows:
            if (user.role, fact) in known:
                return Because(later + 1, f"the {user.role} knows: {_say(fact, domain)}")
        if _place_follows(step, user):
            return Because(later + 1, f"the {user.role} is {domain.places[user.place or ''].label}")
        touched = set(user.touched())
        facts = {fact for fact in facts if fact[0] not in touched or fact in user.effects}
        known = {item for item in known if item[1][0] not in touched}
    return _asked_at_the_end(facts, known, domain)


def _place_follows(step: Step, user: Step) -> bool:
    """A step that takes somebody in or out is there for what the same person does next in that place."""
    return step.goes_to is not None and user.role == step.role and user.place == step.goes_to


def _asked_at_the_end(facts: set[Fact], known: set[tuple[str, Fact]], domain: Domain) -> Because:
    for fact in domain.goal:
        if fact in facts:
            return Because(0, _say(fact, domain))
    for role, fact in domain.goal_knows:
        if (role, fact) in known:
            return Because(0, f"the {role} knows: {_say(fact, domain)}")
    return Because(None, "")


def _say(fact: Fact, domain: Domain) -> str:
    variable = domain.variables.get(fact[0])
    return variable.say(fact[1]) if variable is not None else f"{fact[0]} {fact[1]}"
