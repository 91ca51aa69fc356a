"""Mistakes of the trade: each is shown by a demo job, waits for one, or is left out with the reason."""

from __future__ import annotations

import pytest

from headstock.reasoning.mistake_study import outcome_of
from tests.cases.research_mistakes import NOT_MODELLED, OTHERS, SHOWN, WAITS, Shown
from tests.cases.runs import find_mistake, going_of
from tests.outside import NO_SOURCE

NUMBER = 77


@pytest.mark.outside(source=NO_SOURCE, status="common practice")
@pytest.mark.parametrize("number", sorted(SHOWN), ids=lambda number: f"{number} {SHOWN[number][0]}")
def test_what_becomes_of_a_mistake_of_the_trade(number: int) -> None:
    shown: Shown = SHOWN[number][1]
    mistakes = [find_mistake(shown.job, *row) for row in shown.mistakes]
    outcome = outcome_of(going_of(shown.job), *mistakes)
    means = outcome.noticing.means if outcome.noticing is not None else ""
    assert (outcome.verdict, means) == (shown.verdict, shown.means)
    rules = {broken.key for broken in outcome.broken}
    assert shown.rule in rules if shown.rule else not rules


def test_every_mistake_of_the_trade_is_accounted_for_once() -> None:
    assert sorted([*SHOWN, *OTHERS]) == list(range(1, NUMBER + 1))
    assert {state for _, state, _ in OTHERS.values()} == {WAITS, NOT_MODELLED}
    assert all(len(reason) > 5 for _, _, reason in OTHERS.values())


def test_how_many_are_shown_is_said_as_it_is() -> None:
    waits = sum(state == WAITS for _, state, _ in OTHERS.values())
    assert (len(SHOWN), waits, len(OTHERS) - waits) == (32, 35, 10)
