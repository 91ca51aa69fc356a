"""The checker on a toy world: every kind of hole is named, and at its line."""

from __future__ import annotations

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.planner import plan
from headstock.reasoning.step import Step
from tests.unit.reasoning.toy import KEEPER, toy_domain


def order() -> list[Step]:
    return list(plan(toy_domain()).steps)


def kinds(steps: list[Step | str]) -> set[str]:
    return {complaint.kind for complaint in check(steps, toy_domain()).complaints}


def test_an_empty_order_does_not_pass() -> None:
    assert kinds([]) == {"end state"}


@pytest.mark.parametrize("number", range(len(order())))
def test_leaving_out_any_line_is_noticed(number: int) -> None:
    steps = order()
    del steps[number]
    assert not check(steps, toy_domain()).holds


def test_a_line_that_is_no_step_is_named() -> None:
    result = check(["dance"], toy_domain())
    assert (result.complaints[0].kind, result.complaints[0].line) == ("unknown step", 1)


def test_telling_what_one_does_not_know_is_noticed() -> None:
    steps = order()
    told = next(step for step in steps if step.key == "tell the keeper: lamp lit")
    steps.remove(told)
    assert "knowledge" in kinds([told, *steps])


def test_a_constraint_is_judged_on_the_state_and_not_on_needs() -> None:
    steps = order()
    shut_early = Step("shut the door early", KEEPER, "gate", effects=(("door", "shut"),))
    inside = [step.key for step in steps].index("light the lamp")
    result = check([*steps[:inside], shut_early, *steps[inside:]], toy_domain())
    assert ("dark", inside + 1) in {(c.about, c.line) for c in result.complaints}


def test_a_broken_constraint_is_said_once_while_it_stays_broken() -> None:
    steps = order()
    shut_early = Step("shut the door early", KEEPER, "gate", effects=(("door", "shut"),))
    inside = [step.key for step in steps].index("light the lamp")
    result = check([*steps[:inside], shut_early, *steps[inside:]], toy_domain())
    assert sum(complaint.about == "dark" for complaint in result.complaints) == 1


def test_touch_look_touch_leaves_the_look_worth_nothing() -> None:
    domain = toy_domain()
    steps = order()
    put_out = Step("put the lamp out", "worker", "shed", effects=(("lamp", "off"),))
    light = next(step for step in steps if step.key == "light the lamp")
    at = [step.key for step in steps].index("look at the lamp") + 1
    result = check([*steps[:at], put_out, light, *steps[at:]], domain)
    assert any(c.kind == "knowledge" and "lamp" in c.about for c in result.complaints)


def test_work_in_a_closed_place_from_outside_is_noticed() -> None:
    steps = [step for step in order() if step.key != "go in"]
    assert "place" in kinds(list(steps))


def test_a_start_that_leaves_a_variable_out_is_an_error() -> None:
    from dataclasses import replace

    domain = toy_domain()
    with pytest.raises(ValueError, match="leaves out lamp"):
        check([], replace(domain, start={"door": "shut", "board": "off"}))
