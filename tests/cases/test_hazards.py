"""Rules that no order can break whose needs are met: every state that the steps reach, cut to the rule's variables, is looked at.

The rules stand behind that as a second lock. Those that only the rule itself keeps are named, each with the way that breaks it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.constraint import Constraint
from headstock.reasoning.grounding import Grounding
from tests.cases.explore import Explored, Slice, explore, guarded, slice_for
from tests.cases.jobs import DEMO, PART, order_of

KEPT_BY_NEEDS = (
    *((DEMO, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "hold-proved", "cocks-with-someone-between",
        "live-hose", "jumper-dead", "couple-proved", "ends-dressed", "road-kept", "road-and-plan")),
    *((PART, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "hold-proved", "one-feed", "live-hose",
        "jumper-dead", "road-kept", "road-and-plan", "trapped-air", "drawn-apart")),
)  # fmt: skip
KEPT_BY_THE_RULE_ALONE = (
    (DEMO, False, "portion-held", "take off the parking brake of 226", "read the parking brake indicator of 217",
     "the driver walks away from the brake that holds the train: where somebody stands is no need of a step"),
    (DEMO, False, "one-feed", "test, rear applied", "take the brake pipe hose of 217/1 off its dummy",
     "a touch voids the test, and its rear valve is still unlocked"),
    (DEMO, True, "between-held", "open the brake pipe cock of 217/2", "light the white lamp of 217/1",
     "the driver leaves the brake that holds his portion by air"),
    (PART, False, "portion-held", "hold the train on a full application", "take off the parking brake of 226, cab 226/1",
     "a brake of the portion that stays is let off with the tested train's release"),
)  # fmt: skip
"""Job, with the air asked, the rule, the line of the good order after which a step is taken whose needs are all met, and why."""
each = pytest.mark.parametrize(("job", "rule"), KEPT_BY_NEEDS, ids=[f"{job.stem}-{rule}" for job, rule in KEPT_BY_NEEDS])


@cache
def grounding_of(job: Path) -> Grounding:
    return Grounding(order_of(job)[1])


@cache
def slice_of(job: Path, rule: str) -> tuple[Slice, Explored]:
    return slice_for(grounding_of(job), rule_of(job, rule))


def rule_of(job: Path, key: str) -> Constraint:
    return next(rule for rule in order_of(job)[1].constraints if rule.key == key)


@each
def test_no_state_that_the_steps_reach_breaks_the_rule(job: Path, rule: str) -> None:
    cut, found = slice_of(job, rule)
    print(f"{job.stem}, {rule}: {found.states} states of {len(cut.kept)} variables")
    assert found.way is None
    assert found.states > 1


@each
def test_with_all_guards_off_the_rule_is_broken(job: Path, rule: str) -> None:
    """Else the exploration would not see it, whatever the steps say."""
    cut, _ = slice_of(job, rule)
    assert explore(cut, rule_of(job, rule), frozenset(cut.guards())).way is not None


@pytest.mark.slow
@each
def test_of_the_guards_that_are_left_when_none_can_be_spared_each_one_off_breaks_the_rule(job: Path, rule: str) -> None:
    found = guarded(grounding_of(job), rule_of(job, rule))
    print(f"{job.stem}, {rule}: {found.states} states, {len(found.sole)} guards that nothing stands in for, "
          f"{len(found.others)} that another backs; {len(found.needed)} together keep it")  # fmt: skip
    assert found.needed
    assert set(found.sole) <= set(found.needed)


@pytest.mark.parametrize("way", KEPT_BY_THE_RULE_ALONE, ids=[f"{way[0].stem}-{way[2]}" for way in KEPT_BY_THE_RULE_ALONE])
def test_where_every_need_is_met_the_rule_itself_speaks(way: tuple[Path, bool, str, str, str, str]) -> None:
    job, by_air, rule, after, taken, _ = way
    steps, domain = order_of(job, by_air)
    line = max(number for number, step in enumerate(steps) if step.key.startswith(after)) + 1
    step = next(step for step in domain.steps if step.key.startswith(taken))
    complaints = [c for c in check([*steps[:line], step], domain).complaints if c.line == line + 1]
    assert [c.about for c in complaints if c.kind == "constraint"] == [rule]
    assert [c for c in complaints if c.kind not in ("constraint",)] == []
