"""Planned jobs made ready for mistakes, each once for a whole test run."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from headstock.procedures.noticing import surroundings_of
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome, study
from headstock.reasoning.mistakes import Mistake, single_mistakes
from tests.cases.jobs import order_of, planned
from tests.cases.other_jobs import BY_AIR


@cache
def going_of(path: Path) -> GoingOn:
    """The order of a job, planned without the air engine where it can be."""
    by_air = path in BY_AIR
    steps, domain = order_of(path, by_air)
    task = planned(path, by_air).assembled.task
    assert task is not None
    return GoingOn(steps, domain, surroundings_of(task, domain))


@cache
def mistakes_of(path: Path) -> tuple[Mistake, ...]:
    """Every single mistake of the job."""
    return single_mistakes(going_of(path))


@cache
def outcomes_of(path: Path) -> tuple[Outcome, ...]:
    """What becomes of each."""
    return study(going_of(path), mistakes_of(path))


def line_of(path: Path, pattern: str) -> int:
    """The only line (0 is the first) whose step fits; with "@2" at the end of the pattern the second of two, and so on."""
    words, at, number = pattern.partition("@")
    found = [line for line, step in enumerate(going_of(path).order) if re.search(words, step.key)]
    assert (len(found) == 1) != bool(at), f"{pattern}: {len(found)} lines"
    return found[int(number or 1) - 1]


def find_mistake(path: Path, kind: str, pattern: str, past: str = "", how: str = "", more: int = 0) -> Mistake:
    """The only mistake of a kind at the line that fits; ``more``: so many further lines left out with it."""
    line, beyond = line_of(path, pattern), line_of(path, past) if past else None
    found = [
        mistake
        for mistake in mistakes_of(path)
        if (mistake.kind, mistake.line, mistake.past, len(mistake.also)) == (kind, line, beyond, more)
        and re.search(how, mistake.how)
    ]
    assert len(found) == 1, f"{kind}, {pattern}, {past}: {[mistake.how for mistake in found]}"
    return found[0]
