"""Repair of orders on a toy world: one change where one is enough, accepted by the checker, or which kind of no."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.planner import plan
from headstock.reasoning.repair import RepairResult, repair, starting_from
from headstock.reasoning.run import Run
from headstock.reasoning.step import Step
from tests.unit.reasoning.toy import WORKER, toy_domain, without_step

ORDER = list(plan(toy_domain()).steps)


def said(result: RepairResult) -> list[tuple[str, str]]:
    return [(c.kind, c.step.key if isinstance(c.step, Step) else c.step) for c in result.changes]


def test_an_order_without_a_hole_is_left_as_it_is() -> None:
    result = repair(ORDER, toy_domain())
    assert (result.answer, result.steps, result.changes) == ("nothing to mend", tuple(ORDER), ())


@pytest.mark.parametrize("number", range(len(ORDER)))
def test_a_line_left_out_is_put_back_and_nothing_else(number: int) -> None:
    holed = [*ORDER[:number], *ORDER[number + 1 :]]
    result = repair(holed, toy_domain())
    assert said(result) == [("add", ORDER[number].key)]
    assert check(result.steps, toy_domain()).holds


@pytest.mark.parametrize("number", range(len(ORDER) - 1))
def test_two_neighbours_changed_about_are_put_right_by_one_move(number: int) -> None:
    swapped = [*ORDER[:number], ORDER[number + 1], ORDER[number], *ORDER[number + 2 :]]
    result = repair(swapped, toy_domain())
    if check(swapped, toy_domain()).holds:
        assert result.answer == "nothing to mend"
        return
    assert [kind for kind, _ in said(result)] == ["move"]
    assert check(result.steps, toy_domain()).holds


def test_several_holes_are_mended_one_after_the_other() -> None:
    holed = [step for step in ORDER if step.key not in ("go in", "tell the keeper: lamp lit")]
    result = repair(["dance", *holed], toy_domain())
    assert said(result) == [("leave out", "dance"), ("add", "go in"), ("add", "tell the keeper: lamp lit")]
    assert check(result.steps, toy_domain()).holds


def test_a_foreign_step_that_breaks_a_constraint_is_left_out() -> None:
    shut_early = Step("shut the door early", "keeper", "gate", effects=(("door", "shut"),))
    inside = [step.key for step in ORDER].index("light the lamp")
    result = repair([*ORDER[:inside], shut_early, *ORDER[inside:]], toy_domain())
    assert said(result) == [("leave out", "shut the door early")]


def test_lines_of_changes_count_as_written() -> None:
    holed = ORDER[1:]
    (change,) = repair(holed, toy_domain()).changes
    assert (change.kind, change.line) == ("add", 0)
    assert 1 <= change.before <= len(holed) + 1


def test_where_nothing_leads_to_the_end_the_answer_says_so() -> None:
    domain = without_step(toy_domain(), "light the lamp")
    order = [step for step in ORDER if step.key != "light the lamp"]
    result = repair(order, domain)
    assert (result.answer, result.steps, result.changes) == ("impossible", (), ())


def test_without_a_try_left_the_rest_is_planned_anew_and_the_checker_accepts_it() -> None:
    holed = [step for step in ORDER if step.key != "look at the lamp"]
    result = repair(holed, toy_domain(), budget=0)
    assert result.answer == "repaired" and result.planned_from > 0
    assert check(result.steps, toy_domain()).holds
    # He had come out by then: in, look, out.
    assert said(result) == [("add", "go in"), ("add", "look at the lamp"), ("add", "come out")]


def test_a_task_begun_on_the_way_knows_what_was_seen_so_far() -> None:
    domain = toy_domain()
    run = Run.begin(domain)
    upto = [step.key for step in ORDER].index("look at the lamp") + 1
    for line, step in enumerate(ORDER[:upto], start=1):
        run.follow(line, step)
    rest = starting_from(run)
    assert (WORKER, ("lamp", "lit")) in rest.start_knows
    assert rest.people[WORKER] == "shed"
    assert [step.key for step in plan(rest).steps] == [step.key for step in ORDER[upto:]]
    assert check(plan(rest).steps, rest).holds
    forgetful = replace(rest, start_knows=())
    assert len(plan(forgetful).steps) > len(plan(rest).steps)
