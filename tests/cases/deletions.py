"""What the hand-written cases would notice if one need, effect or guard were missing from the model.

A need or a piece of knowledge that is missing changes nothing but the complaint of its own step, so it is noticed when some
case rests on that complaint alone. What a step changes, shows, tells or ages, and each rule, is taken out and the orders
are checked again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from headstock.reasoning.domain import Domain
from headstock.reasoning.run import Complaint, Run, Verdicts
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

Ident = tuple[str, str]


@dataclass(frozen=True)
class Deletion:
    """One thing taken out: a part of a step ("needs", "knows", "effects", "shows", "tells", "ages"), a "void" or a "rule"."""

    part: str
    ident: Ident
    fact: Fact

    def __str__(self) -> str:
        return f"{self.part} of {self.ident[0]}, {self.ident[1]}: {'='.join(self.fact)}"


@dataclass(frozen=True)
class Case:
    """An order; ``wanted`` picks the complaints that must be among those found (None: there must be none)."""

    name: str
    order: tuple[Step, ...]
    wanted: Callable[[Complaint], bool] | None = None


class Measure:
    """One domain with its hand-written cases, each run once as the model stands."""

    def __init__(self, domain: Domain, cases: Sequence[Case]) -> None:
        self.domain, self.cases = domain, tuple(cases)
        self.judged: dict[tuple[str, ...], Verdicts] = {}
        self.wrong = [case.name for case in self.cases if not self._stands(case, self._complaints(case.order, domain))]

    def _complaints(
        self, order: Sequence[Step], domain: Domain, judged: dict[tuple[str, ...], Verdicts] | None = None
    ) -> list[Complaint]:
        run = Run.begin(domain, self.judged if judged is None else judged)
        for line, step in enumerate(order, start=1):
            run.follow(line, step)
        run.judge_end(len(order) + 1)
        return [complaint for complaint in run.complaints if complaint.line]

    @staticmethod
    def _stands(case: Case, complaints: Sequence[Complaint]) -> bool:
        return not complaints if case.wanted is None else any(map(case.wanted, complaints))

    @cached_property
    def rested_on(self) -> set[tuple[str, str, str]]:
        """(step, kind, about) on which alone some case rests."""
        found = set()
        for case in self.cases:
            if case.wanted is not None:
                picked = {(c.step, c.kind, c.about) for c in self._complaints(case.order, self.domain) if case.wanted(c)}
                if len(picked) == 1:
                    found |= picked
        return found

    def notices(self, deletion: Deletion) -> bool:
        """Whether some case turns out otherwise without it."""
        kinds = {"needs": "need", "knows": "knowledge"}
        if deletion.part in kinds:
            return (deletion.ident[1], kinds[deletion.part], "=".join(deletion.fact)) in self.rested_on
        poorer = without(self.domain, deletion)
        judged = {} if deletion.part == "rule" else self.judged
        new = {step.ident: step for step in poorer.steps}
        for case in self.cases:
            order = tuple(new.get(step.ident, step) if self.domain.owns(step) else step for step in case.order)
            if not self._stands(case, self._complaints(order, poorer, judged)):
                return True
        return False


def deletions(domain: Domain, steps: Sequence[Step]) -> Iterator[Deletion]:
    """Everything that can be taken out of some steps, and every void and rule."""
    for step in dict.fromkeys(steps):
        for part in ("needs", "knows", "effects", "shows", "tells"):
            for fact in dict.fromkeys(getattr(step, part)):
                if part != "shows" or fact not in step.effects:
                    yield Deletion(part, step.ident, fact)
        if step.ages != "nobody":
            yield Deletion("ages", step.ident, (step.ages, ""))
    for key, fact in domain.voids.items():
        yield Deletion("void", ("", key), fact)
    for rule in domain.constraints:
        yield Deletion("rule", ("", rule.key), (rule.key, ""))


def without(domain: Domain, deletion: Deletion) -> Domain:
    """The domain with one thing taken out."""
    if deletion.part == "void":
        return replace(domain, voids={key: fact for key, fact in domain.voids.items() if key != deletion.ident[1]})
    if deletion.part == "rule":
        return replace(domain, constraints=tuple(rule for rule in domain.constraints if rule.key != deletion.ident[1]))
    return replace(
        domain, steps=tuple(_poorer(step, deletion) if step.ident == deletion.ident else step for step in domain.steps)
    )


def _poorer(step: Step, deletion: Deletion) -> Step:
    if deletion.part == "ages":
        return replace(step, ages="nobody")
    left = {deletion.part: tuple(fact for fact in getattr(step, deletion.part) if fact != deletion.fact)}
    return replace(step, **left)  # type: ignore[arg-type]
