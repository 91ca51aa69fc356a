"""Pairs of the toy's mistakes."""

from __future__ import annotations

from itertools import combinations

from headstock.reasoning.mistake_pairs import PairCount, Pairs
from headstock.reasoning.mistake_study import outcome_of
from headstock.reasoning.mistakes import single_mistakes
from tests.unit.reasoning.runs import LINES, toy_going


def _counted() -> tuple[Pairs, PairCount]:
    going = toy_going()
    mistakes = single_mistakes(going)
    pairs = Pairs(going, mistakes, [1] * len(mistakes))
    return pairs, pairs.count(range(len(mistakes)))


def test_every_pair_is_accounted_for() -> None:
    pairs, count = _counted()
    number = len(pairs.mistakes)
    assert count.run + count.settled + count.not_two == number * (number - 1) // 2
    assert sum(count.verdicts.values()) == count.run + count.settled
    assert count.settled > 0


def test_a_pair_settled_without_running_ends_as_its_first_alone() -> None:
    pairs, _ = _counted()
    settled = 0
    for one, other in combinations(range(len(pairs.mistakes)), 2):
        first, second = pairs.mistakes[one], pairs.mistakes[other]
        if set(first.lines) & set(second.lines):
            continue
        for here, alone, late in ((one, first, second), (other, second, first)):
            if pairs._comes_too_late(here, late):
                settled += 1
                both = outcome_of(pairs.going, first, second)
                assert (both.verdict, both.noticing) == ("noticed", outcome_of(pairs.going, alone).noticing)
    assert settled


def test_a_lamp_not_lit_and_a_look_not_made_hide_each_other() -> None:
    pairs, count = _counted()
    named = {frozenset(LINES[m.line] for m in (pairs.mistakes[one], pairs.mistakes[other])) for _, one, other in count.worst}
    assert frozenset({"light the lamp", "look at the lamp"}) in named
    assert count.worse == len(count.worst)


def test_two_harms_that_have_nothing_to_do_with_one_another_are_not_worse_together() -> None:
    pairs, count = _counted()
    for _, one, other in count.worst:
        assert {pairs.mistakes[one].line, pairs.mistakes[other].line} != {LINES.index("come out"), LINES.index("shut the door")}


def test_counting_in_parts_gives_the_same() -> None:
    pairs, whole = _counted()
    total = PairCount()
    for part in range(3):
        total.add(pairs.count(range(part, len(pairs.mistakes), 3)))
    assert (total.run, total.settled, total.verdicts, total.hiders) == (whole.run, whole.settled, whole.verdicts, whole.hiders)
    assert sorted(total.worst) == sorted(whole.worst)
