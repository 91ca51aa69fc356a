"""The hand-written cases of further families as measures: a good order in plain text, and everything spoilt in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from headstock.procedures.work import domain_of
from headstock.reasoning.step import Step
from tests.cases.deletions import Case, Measure
from tests.cases.left_behind import ALONE_LEFT, SCREW_LEFT, left_behind, rule_cases, rule_edits
from tests.cases.not_without import spoilt
from tests.cases.not_without_families import DRIVER_ALONE, HOOK_AND_SCREW, FamilyRows
from tests.cases.written_orders import WRITTEN, checked

FAMILIES: dict[str, FamilyRows] = {"attach-hook-and-screw": HOOK_AND_SCREW, "attach-driver-alone": DRIVER_ALONE}
NEVER_TESTED_AGAIN = {
    "attach-hook-and-screw": ("217/1.brake_pipe_cock=shut", "217/1.brake_pipe_hose=on its dummy", "217/2.brake_pipe_cock=open",
                              "217/2.brake_pipe_hose=joined", "226/1.brake_pipe_cock=open", "226/1.brake_pipe_hose=joined",
                              "226/2.brake_pipe_cock=shut", "226/2.brake_pipe_hose=on its dummy"),
    "attach-driver-alone": (),
}  # fmt: skip
"""Touched after the test and put back: the test is void all the same."""


@cache
def family_measure(name: str) -> tuple[Measure, tuple[Step, ...]]:
    """The cases of a family's order, each run once, and the order."""
    found = checked(next(order for order in WRITTEN if order.text == name))
    assert found.instruction is not None and found.assembled.task is not None
    steps = tuple(step for step in found.instruction.order if isinstance(step, Step))
    domain, rows = domain_of(found.assembled.task), FAMILIES[name]
    every = (
        *spoilt(list(rows.of("need", steps, domain)), steps, "need"),
        *spoilt(list(rows.of("knowledge", steps, domain)), steps, "knowledge"),
    )
    is_alone = name == "attach-driver-alone"
    standing, hold = ("604", "604.parking_brake") if is_alone else ("226", "2262.hand_brake")
    left = (
        *left_behind(ALONE_LEFT if is_alone else SCREW_LEFT, steps, domain),
        *rule_cases(rule_edits(standing, hold, is_alone), steps),
    )
    cases = (Case("the good order", steps), *left, *_after_the_test(name, steps), *(one.case(steps, domain) for one in every))
    return Measure(domain, cases), steps


def _after_the_test(name: str, steps: Sequence[Step]) -> Iterator[Case]:
    last = max(number for number, step in enumerate(steps) if step.key.startswith("test, ")) + 1
    for fact in NEVER_TESTED_AGAIN[name]:
        key, _, value = fact.partition("=")
        touch = Step(f"touch {key} after the test", "visitor", None, effects=((key, value),))
        made = (*steps[:last], touch, *steps[last:])
        yield Case(touch.key, made, lambda c: c.kind == "end state" and c.about.startswith("brake_test"))
