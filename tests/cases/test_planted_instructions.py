"""A hand-written instruction passes; each fault planted in it is named, at its step, for the hand-written reason."""

from __future__ import annotations

import re
from functools import cache

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.repair import repair
from headstock.reasoning.step import Step
from headstock.usecases.trade_words import BUILT_IN, load_trade_words
from headstock.usecases.written_instruction import Instruction, read_instruction
from tests.cases.bad_orders import BAD_ORDERS
from tests.cases.jobs import DEMO, order_of, planned
from tests.cases.planted_instructions import HAND_WRITTEN, PLANTED, Planted


@cache
def written() -> Instruction:
    task = planned(DEMO, by_air=True).assembled.task
    assert task is not None
    return read_instruction(HAND_WRITTEN, order_of(DEMO, by_air=True)[1], task.train, load_trade_words(BUILT_IN))


def hand_written() -> list[Step]:
    return [step for step in written().order if isinstance(step, Step)]


def test_the_hand_written_instruction_is_understood_and_has_no_hole() -> None:
    assert (written().count("sure"), written().count("doubtful"), written().count("none")) == (104, 0, 0)
    assert len(written().headings) == 10
    assert check(written().order, order_of(DEMO, by_air=True)[1]).holds


def test_it_is_another_order_than_the_planner_s() -> None:
    assert [step.key for step in hand_written()] != [step.key for step in order_of(DEMO, by_air=True)[0]]


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_a_planted_fault_is_named_at_its_step_for_its_reason(planted: Planted) -> None:
    order = planted.edit(hand_written())
    assert order != hand_written(), "nothing was planted"
    complaints = [c for c in check(order, order_of(DEMO, by_air=True)[1]).complaints if c.kind != "unknown step"]
    first = min(c.line for c in complaints)
    said = [(c.step, f"{c.kind}:{c.about}") for c in complaints if c.line == first or not planted.first]
    assert any(re.match(planted.at, step) and about == planted.complaint for step, about in said), f"{planted.reason}: {said}"


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.name)
def test_a_planted_fault_is_mended(planted: Planted) -> None:
    domain = order_of(DEMO, by_air=True)[1]
    result = repair(planted.edit(hand_written()), domain)
    assert result.answer == "repaired"
    assert check(result.steps, domain).holds


def test_a_second_person_between_is_no_step_of_anybody_and_the_line_says_whose_it_is() -> None:
    domain = order_of(DEMO, by_air=True)[1]
    assert {step.role for step in domain.steps if step.goes_to == "between"} == {"shunter"}


def test_there_are_enough_faults_and_each_has_a_reason() -> None:
    assert len({planted.name for planted in PLANTED}) >= 30
    assert len({planted.name for planted in PLANTED} | {bad.name for bad in BAD_ORDERS}) >= 90
    assert all(len(planted.reason) > 10 for planted in PLANTED)
