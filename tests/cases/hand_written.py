"""All cases written by hand of a job: its good order, and every order that must be refused for a reason."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from headstock.reasoning.run import Complaint
from headstock.reasoning.step import Step
from tests.cases.bad_orders import BAD_ORDERS
from tests.cases.bad_partings import BAD_PARTINGS
from tests.cases.deletions import Case, Measure
from tests.cases.jobs import DEMO, PART, order_of
from tests.cases.left_behind import ATTACH_LEFT, PART_LEFT, left_behind
from tests.cases.not_without import ATTACH, KNOWN_ATTACH, KNOWN_PART, PART_ROWS, spoilt
from tests.cases.planted_instructions import PLANTED
from tests.cases.step_reasons import REASONS
from tests.cases.test_attach_plans import fits
from tests.cases.test_planted_instructions import hand_written

ROWS = {DEMO: (ATTACH, KNOWN_ATTACH), PART: (PART_ROWS, KNOWN_PART)}

TOUCHED_AFTER_THE_TEST = {
    DEMO: {"217/1": ("shut", "on its dummy"), "217/2": ("open", "joined"), "226/1": ("open", "joined"),
           "226/2": ("shut", "on its dummy")},
    PART: {"217/1": ("shut", "on its dummy"), "217/2": ("shut", "on its dummy")},
}  # fmt: skip
"""How cock and hose of the brake pipe stand at each end of the tested train: a touch voids the test, put back or not."""


@cache
def measure_of(job: Path) -> Measure:
    """The cases of attaching (with the air asked) or of parting, each run once."""
    steps, domain = order_of(job, job == DEMO)
    needs, known = ROWS[job]
    rows = (*spoilt(needs, steps, "need"), *spoilt(known, steps, "knowledge"))
    others = _attaching(steps) if job == DEMO else _parting(steps)
    left = left_behind(ATTACH_LEFT if job == DEMO else PART_LEFT, steps, domain)
    others = (*others, *left, *_touched_after_the_test(job, steps))
    return Measure(domain, (Case("the good order", steps), *others, *(row.case(steps, domain) for row in rows)))


def _touched_after_the_test(job: Path, steps: tuple[Step, ...]) -> Iterator[Case]:
    last = max(number for number, step in enumerate(steps) if step.key.startswith("test, ")) + 1
    for end, stands in TOUCHED_AFTER_THE_TEST[job].items():
        for thing, value in zip(("cock", "hose"), stands, strict=True):
            touch = Step(f"touch the {thing} of {end}", "visitor", None, effects=((f"{end}.brake_pipe_{thing}", value),))
            yield Case(touch.key, (*steps[:last], touch, *steps[last:]), _fitting("end:brake_test"))
    if job == DEMO:
        touch = Step("touch the jumper", "visitor", None, effects=(("226/1.jumper", "latched"),))
        yield Case("the jumper touched after the bell", (*steps, touch), _fitting("end:bell"))


def _attaching(steps: tuple[Step, ...]) -> Iterator[Case]:
    for bad in BAD_ORDERS:
        if bad.job == DEMO and bad.by_air:
            yield Case(bad.name, tuple(bad.edit(list(steps))), _fitting(bad.complaint))
    for number, step in enumerate(steps):
        wanted = next(row[1] for row in REASONS if re.search(row[0], step.key))
        if not step.key.startswith("tell the"):
            yield Case(f"without: {step.key}", (*steps[:number], *steps[number + 1 :]), _fitting(wanted))
    yield Case("the instruction written by hand", tuple(hand_written()))
    for planted in PLANTED:
        yield Case(planted.name, tuple(planted.edit(hand_written())), _at(planted.at, planted.complaint))


def _parting(steps: tuple[Step, ...]) -> Iterator[Case]:
    for bad in BAD_PARTINGS:
        yield Case(bad.name, tuple(bad.edit(list(steps))), _breaking(bad.breaks))


def _fitting(wanted: str) -> Callable[[Complaint], bool]:
    return lambda complaint: fits(complaint, wanted)


def _at(step: str, wanted: str) -> Callable[[Complaint], bool]:
    return lambda c: re.match(step, c.step) is not None and f"{c.kind}:{c.about}" == wanted


def _breaking(wanted: str) -> Callable[[Complaint], bool]:
    return lambda c: wanted == (c.about if c.kind == "constraint" else c.kind)
