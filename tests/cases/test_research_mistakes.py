"""Mistakes of the trade: each is shown by a demo job, waits for one, or is left out with the reason."""

from __future__ import annotations

import pytest

from headstock.reasoning.mistake_study import outcome_of
from tests.cases import test_research_judged
from tests.cases.research_mistakes import JUDGED, NOT_MODELLED, OTHERS, SHOWN, WAITS, Shown
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
    assert sorted([*SHOWN, *JUDGED, *OTHERS]) == list(range(1, NUMBER + 1))
    assert {state for _, state, _ in OTHERS.values()} == {WAITS, NOT_MODELLED}
    assert all(len(reason) > 5 for _, _, reason in OTHERS.values())


def test_how_many_are_shown_is_said_as_it_is() -> None:
    """Of 77: shown by a run of the mistake, told by another part of the program, waiting, not modelled."""
    waits = sum(state == WAITS for _, state, _ in OTHERS.values())
    counts = (len(SHOWN), len(JUDGED), waits, len(OTHERS) - waits)
    print(f"mistakes of the trade: {counts[0]} run, {counts[1]} judged, {counts[2]} wait, {counts[3]} not modelled")
    assert counts == (48, 22, 2, 5)
    assert len(SHOWN) + len(JUDGED) >= 65


def test_each_that_is_judged_elsewhere_has_its_test() -> None:
    assert {name for _, name in JUDGED.values() if not hasattr(test_research_judged, name)} == set()
