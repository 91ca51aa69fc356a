"""Questions whose answers are computed, with wrong options that people really believe. One option is right, never two."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal

from headstock.brake_test.forecast import Forecast
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step

QuestionKind = Literal["gauge", "first seen", "before", "after", "hurts", "place"]
KINDS: tuple[QuestionKind, ...] = ("gauge", "first seen", "before", "after", "hurts", "place")
OPTIONS = 4


@dataclass(frozen=True)
class Subject:
    """What questions are made from: a job's order of work, and the forecast of its brake test where there is one."""

    name: str
    task: AttachTask
    domain: Domain
    order: tuple[Step, ...]
    forecast: Forecast | None


@dataclass(frozen=True, slots=True)
class Question:
    """``right``: number of the right option (0 is the first); ``because``: why, for afterwards; ``from_what``: case or line."""

    key: str
    kind: QuestionKind
    subject: str
    text: str
    options: tuple[str, ...]
    right: int
    because: str
    from_what: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A question before its options are mixed: the right one and wrong ones, the most tempting first."""

    kind: QuestionKind
    text: str
    right: str
    wrong: tuple[str, ...]
    because: str
    from_what: str


Maker = Callable[[Subject], Iterator[Draft]]


def questions_of(subject: Subject, makers: Mapping[QuestionKind, Maker], seed: int) -> tuple[Question, ...]:
    """Every question that a job gives, each once, its options mixed by the seed."""
    found: dict[str, Question] = {}
    for maker in makers.values():
        for draft in maker(subject):
            question = question_of(subject.name, draft, seed)
            if question is not None:
                found.setdefault(question.key, question)
    return tuple(found.values())


def pool_of(subjects: Sequence[Subject], makers: Mapping[QuestionKind, Maker], seed: int) -> tuple[Question, ...]:
    """The questions of several jobs; what is asked alike of two of them is asked once."""
    found: dict[str, Question] = {}
    for subject in subjects:
        for question in questions_of(subject, makers, seed):
            found.setdefault(question.text, question)
    return tuple(found.values())


def question_of(subject: str, draft: Draft, seed: int) -> Question | None:
    """A draft with its options mixed; None where there are not enough wrong ones that differ from the right one and another."""
    wrong = [option for option in dict.fromkeys(draft.wrong) if option != draft.right][: OPTIONS - 1]
    if len(wrong) < OPTIONS - 1:
        return None
    said = "\n".join((subject, draft.kind, draft.text, draft.right))
    key = hashlib.sha256(said.encode()).hexdigest()[:16]
    options = [draft.right, *wrong]
    Random(f"{seed} {key}").shuffle(options)
    return Question(key, draft.kind, subject, draft.text, tuple(options), options.index(draft.right), draft.because,
                    draft.from_what)  # fmt: skip


def paper_of(questions: Sequence[Question], count: int, seed: int) -> tuple[Question, ...]:
    """A paper of so many questions: kinds and jobs as evenly as they come, the rest by the seed. Raises ValueError."""
    if count > len(questions):
        raise ValueError(f"there are {len(questions)} questions, not {count}")
    draw = Random(seed)
    groups: dict[tuple[str, str], list[Question]] = {}
    for question in sorted(questions, key=lambda one: one.key):
        groups.setdefault((question.kind, question.subject), []).append(question)
    for group in groups.values():
        draw.shuffle(group)
    order = list(groups)
    draw.shuffle(order)
    by_kind: dict[str, list[list[Question]]] = {}
    for kind, subject in order:
        by_kind.setdefault(kind, []).append(groups[kind, subject])
    kinds, picked = sorted(by_kind), list[Question]()
    while len(picked) < count:
        for kind in kinds:
            rows = [row for row in by_kind[kind] if row]
            if rows and len(picked) < count:
                fullest = max(rows, key=len)
                picked.append(fullest.pop())
    draw.shuffle(picked)
    return tuple(picked)
