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
from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.explore import Explored, Guard, Slice, explore, guarded, slice_for
from tests.cases.jobs import DEMO, MADE, PART, STUCK, order_of

RESCUE = JOBS_FOLDER / "demo-rescue.yaml"
KEPT_BY_NEEDS = (
    *((DEMO, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "hold-proved", "cocks-with-someone-between",
        "live-hose", "jumper-dead", "couple-proved", "ends-dressed", "road-kept", "road-and-plan")),
    *((PART, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "hold-proved", "one-feed", "live-hose",
        "jumper-dead", "road-kept", "road-and-plan", "trapped-air", "drawn-apart")),
    # Of a rescue between-held, one-feed, held-by-the-test and scotches-last are not decided: more states than are looked at.
    *((RESCUE, rule) for rule in (
        "between-protected", "between-still", "movement-clear", "hold-proved", "cocks-with-someone-between", "live-hose",
        "couple-proved", "road-kept", "road-and-plan", "dead-secured", "proved-without-air")),
    *((MADE, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "one-feed", "road-kept", "road-and-plan",
        "not-dragged", "heads-drawn", "lamp-is-no-brake", "ports-cleared")),
    *((STUCK, rule) for rule in (
        "between-protected", "between-still", "between-held", "movement-clear", "portion-held", "road-kept", "road-and-plan",
        "drawn-apart", "not-dragged", "heads-drawn")),
)  # fmt: skip
TOO_MANY_TOGETHER = (
    (DEMO, "between-held"),
    (DEMO, "cocks-with-someone-between"),
    (RESCUE, "cocks-with-someone-between"),
    (RESCUE, "dead-secured"),
)
"""Hundreds of guards over thousands of states: each off alone is looked at, not how few together still keep the rule."""
STANDS_IN = (
    (DEMO, "live-hose", "take the brake pipe hose of 217/2 off", "217/2.brake_pipe_hose=on its dummy",
     "take the brake pipe hose of 217/2 off", "217/2.brake_pipe_cock=shut", "a joined hose is loosened only behind a shut cock"),
    (DEMO, "live-hose", "put the main reservoir pipe hose of 217/2 on", "217/2.main_reservoir_pipe_hose=hanging",
     "open the main reservoir pipe cock of 217/2", "217/2.main_reservoir_pipe_hose=joined", "it opens only on a joined hose"),
    (DEMO, "hold-proved", "call to couple", "gap=stop 2", "call to couple", "226.hold=proved",
     "the first call of all needs the hold, and each later one the gap that the one before has left"),
    (DEMO, "hold-proved", "call for a light pull", "gap=touching", "call for a light pull", "226.hold=proved",
     "the same for the pull"),
    (DEMO, "road-and-plan", "ask for the road", "agreed=yes", "call to 2 m", "agreed=yes",
     "whoever asks for the road too early still calls only when it is agreed"),
)  # fmt: skip
"""Job, rule, a guard that can be spared, the one that stands in for it, why. Most others that can be spared guard another rule:
with them off no more can be reached of what this rule is about (the slow test counts them as said again)."""
KEPT_BY_THE_RULE_ALONE = (
    (DEMO, False, "portion-held", "take off the parking brake of 226", "read the parking brake indicator of 217",
     "the driver walks away from the brake that holds the train: where somebody stands is no need of a step"),
    (DEMO, False, "one-feed", "test, rear applied", "take the brake pipe hose of 217/1 off its dummy",
     "a touch voids the test, and its rear valve is still unlocked"),
    (DEMO, True, "between-held", "open the brake pipe cock of 217/2", "light the white lamp of 217/1",
     "the driver leaves the brake that holds his portion by air"),
)  # fmt: skip
"""Job, with the air asked, the rule, the line of the good order after which a step is taken whose needs are all met, and why."""
each = pytest.mark.parametrize(("job", "rule"), KEPT_BY_NEEDS, ids=[f"{job.stem}-{rule}" for job, rule in KEPT_BY_NEEDS])


@cache
def grounding_of(job: Path) -> Grounding:
    return Grounding(order_of(job, job in (MADE, STUCK))[1])


@cache
def slice_of(job: Path, rule: str) -> tuple[Slice, Explored]:
    return slice_for(grounding_of(job), rule_of(job, rule))


def rule_of(job: Path, key: str) -> Constraint:
    return next(rule for rule in order_of(job, job in (MADE, STUCK))[1].constraints if rule.key == key)


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
    found = guarded(grounding_of(job), rule_of(job, rule), (job, rule) not in TOO_MANY_TOGETHER)
    print(f"{job.stem}, {rule}: {found.states} states, {len(found.sole)} guards that nothing stands in for, "
          f"{len(found.others)} that another backs, {found.said_again} of them said again by their own steps; "
          f"{len(found.needed)} together keep it, {len(found.wide)} not decided")  # fmt: skip
    for (role, step), fact in found.needed:
        print(f"    {role}, {step}: {'='.join(fact)}")
    assert found.needed or (job, rule) in TOO_MANY_TOGETHER
    assert (job, rule) in TOO_MANY_TOGETHER or set(found.sole) <= {*found.needed, *found.wide}


@pytest.mark.parametrize("row", STANDS_IN, ids=[f"{row[1]}-{row[2]}" for row in STANDS_IN])
def test_a_guard_that_can_be_spared_has_one_that_stands_in_for_it(row: tuple[Path, str, str, str, str, str, str]) -> None:
    job, rule, step, fact, other, other_fact, _ = row
    cut, _ = slice_of(job, rule)
    spared, stands_in = _guard(cut, step, fact), _guard(cut, other, other_fact)
    for off in (spared, stands_in):
        assert explore(cut, rule_of(job, rule), frozenset({off})).way is None
    assert explore(cut, rule_of(job, rule), frozenset({spared, stands_in})).way is not None


def _guard(cut: Slice, step: str, fact: str) -> Guard:
    found = [guard for guard in cut.guards() if guard[0][1].startswith(step) and "=".join(guard[1]) == fact]
    assert len(found) == 1, f"{step}: {fact}"
    return found[0]


@pytest.mark.parametrize("way", KEPT_BY_THE_RULE_ALONE, ids=[f"{way[0].stem}-{way[2]}" for way in KEPT_BY_THE_RULE_ALONE])
def test_where_every_need_is_met_the_rule_itself_speaks(way: tuple[Path, bool, str, str, str, str]) -> None:
    job, by_air, rule, after, taken, _ = way
    steps, domain = order_of(job, by_air)
    line = max(number for number, step in enumerate(steps) if step.key.startswith(after)) + 1
    step = next(step for step in domain.steps if step.key.startswith(taken))
    complaints = [c for c in check([*steps[:line], step], domain).complaints if c.line == line + 1]
    assert [c.about for c in complaints if c.kind == "constraint"] == [rule]
    assert [c for c in complaints if c.kind not in ("constraint",)] == []
