"""Typed orders of work played live: perfect crews pass; a crew with a planted fault fails, and it is said why."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from headstock.practice.exercise import Exercise
from headstock.practice.marking import mark_of
from headstock.practice.sitting import Sitting
from headstock.procedures.work import domain_of
from headstock.reasoning.step import Step
from tests.cases.jobs import DEMO, planned
from tests.cases.planted_instructions import PLANTED, Planted
from tests.cases.test_planted_instructions import hand_written
from tests.cases.written_orders import WRITTEN, WrittenOrder, checked
from tests.unit.practice.crew import played


@cache
def demo() -> Exercise:
    plan = planned(DEMO, by_air=True)
    assert plan.assembled.task is not None and plan.domain is not None and plan.order is not None
    return Exercise("demo", plan.assembled.task, plan.domain, plan.order.steps)


def test_a_typed_perfect_crew_passes_the_demo_exercise() -> None:
    mark = mark_of(played(demo(), hand_written()))
    assert mark.is_safe and mark.is_finished, mark.unsafe


@pytest.mark.parametrize("written", WRITTEN, ids=lambda written: written.text)
def test_typed_perfect_crews_pass(written: WrittenOrder) -> None:
    found = checked(written)
    task = found.assembled.task
    assert task is not None and found.instruction is not None
    order = tuple(step for step in found.instruction.order if isinstance(step, Step))
    mark = mark_of(played(Exercise(written.text, task, domain_of(task), order)))
    assert mark.is_safe and mark.is_as_instructed and mark.is_finished, mark.unsafe


def _says_why(sitting: Sitting, planted: Planted) -> bool:
    """Whether the reason stands among what was unsafe or missing, or somebody came to a standstill at the very step."""
    about = planted.complaint.partition(":")[2]
    for note in sitting.notes:
        if note.kind in ("unsafe", "end", "misread") and note.about == about:
            return True
        if note.kind in ("noticed", "saw") and re.match(planted.at, note.text):
            return True
    return False


BY_HAND = {
    "put the air brake on to be sure": ("226/2.brake_valve", "full"),
    "charge the pipe of 226 again": ("226/2.brake_valve", "running"),
    "let the air brake off": ("217/2.brake_valve", "running"),
    "unlock it already": ("217/2.brake_valve", "full"),
}
"""What somebody slipped in, as it is done with a handle in hand."""
NOT_OFFERED = ("the road given back while somebody is between", "the wrong portion watched", "two between on one protection",
               "supply on again too early")  # fmt: skip
"""No page lets anybody do this."""
PLAYED = [planted for planted in PLANTED if planted.name not in NOT_OFFERED]


@pytest.mark.parametrize("planted", PLAYED, ids=lambda planted: planted.name)
def test_a_crew_with_a_planted_fault_does_not_pass_and_it_is_said_why(planted: Planted) -> None:
    order = [
        replace(step, effects=(BY_HAND[step.key],)) if step.key in BY_HAND else step for step in planted.edit(hand_written())
    ]
    sitting = played(demo(), order)
    assert not mark_of(sitting).is_safe
    assert _says_why(sitting, planted), [note for note in sitting.notes if note.kind in ("unsafe", "end", "noticed", "saw")]


def test_what_is_not_played_is_little() -> None:
    assert len(PLAYED) >= 30 and set(NOT_OFFERED) < {planted.name for planted in PLANTED}
