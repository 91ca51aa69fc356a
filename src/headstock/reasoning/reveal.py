"""What would show a hole to the people at work, and when: the first later line that fails for its sake alone.

The rest of the order is carried out twice: as it stands, and with this one hole mended on the spot. A later line that fails
the first time and not the second shows the hole, where it fails on what somebody finds, sees or has not been told. A broken
constraint shows nothing by itself, and what only the end state misses stays hidden.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.mending import Wanted, wanted_by
from headstock.reasoning.run import Complaint, Run, Verdicts
from headstock.reasoning.step import Step

SHOWING = ("need", "knowledge", "place")
LOOKED_FOR = 400
"""Holes of one order for which a sign is looked for; an order with more is no order yet."""


@dataclass(frozen=True, slots=True)
class Reveal:
    """The complaint of the line that shows a hole, or None where nothing in the order does.

    ``earlier`` is set where a line before had already shown what the end state misses; ``looked_for`` is not set where there
    were too many holes before this one.
    """

    shown_by: Complaint | None
    earlier: bool = False
    looked_for: bool = True


def reveals(order: Sequence[Step | str], domain: Domain, complaints: Sequence[Complaint]) -> tuple[Reveal, ...]:
    """For each complaint of an order what shows it, in the same order."""
    judged: dict[tuple[str, ...], Verdicts] = {}
    runs = [Run.begin(domain, judged)]
    for line, step in enumerate(order, start=1):
        run = runs[-1].copy()
        run.follow(line, step)
        runs.append(run)
    found = [_reveal(complaint, order, runs, complaints) for complaint in complaints[:LOOKED_FOR]]
    return (*found, *(Reveal(None, looked_for=False) for _ in complaints[LOOKED_FOR:]))


def _reveal(hole: Complaint, order: Sequence[Step | str], runs: Sequence[Run], complaints: Sequence[Complaint]) -> Reveal:
    if hole.kind == "end state":
        shown = next((c for c in complaints if c.kind in SHOWING and c.fact == hole.fact), None)
        return Reveal(shown, shown is not None)
    later = [c for c in complaints if c.line > hole.line and c.kind in SHOWING]
    if hole.kind == "unknown step" or not later:
        return Reveal(None)
    found = [_first_gone(hole, wanted, order, runs, later) for wanted in wanted_by(hole, runs[hole.line])]
    lines = [complaint for complaint in found if complaint is not None]
    return Reveal(min(lines, key=lambda complaint: complaint.line, default=None))


def _first_gone(hole: Complaint, wanted: Wanted, order: Sequence[Step | str], runs: Sequence[Run],
                later: Sequence[Complaint]) -> Complaint | None:  # fmt: skip
    """The first later complaint that is not there once the hole is mended where it stands."""
    after = hole.kind == "constraint"
    run = runs[hole.line if after else hole.line - 1].copy()
    run.complaints = []
    _mend(run, wanted)
    last = later[-1].line
    for line in range(hole.line + 1 if after else hole.line, last + 1):
        run.follow(line, order[line - 1])
        there = {(c.kind, c.about) for c in run.complaints if c.line == line}
        for complaint in later:
            if complaint.line == line and (complaint.kind, complaint.about) not in there:
                return complaint
    return None


def _mend(run: Run, wanted: Wanted) -> None:
    key, value = wanted.fact
    if wanted.role:
        run.learn(wanted.role, wanted.fact)
    elif key in run.state:
        run.state[key] = value
        for role in run.domain.people:
            # Whoever believed otherwise would have seen it.
            if key != place_key(role) and (role, key) in run.memory and run.memory[(role, key)].value != value:
                run.learn(role, wanted.fact)
