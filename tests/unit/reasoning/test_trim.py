"""An order made lean: idle steps go, the rest still reaches the goal."""

from __future__ import annotations

from headstock.reasoning.encoding import Encoder
from headstock.reasoning.planner import plan
from headstock.reasoning.trim import cost_of, trimmed
from tests.unit.reasoning.toy import toy_domain

DOMAIN = toy_domain()
TASK = Encoder(DOMAIN).task()
NUMBER = {step.key: number for number, step in enumerate(TASK.steps)}


def lean() -> list[int]:
    return [NUMBER[step.key] for step in plan(DOMAIN).steps]


def test_a_lean_order_stays_as_it_is() -> None:
    assert trimmed(lean(), TASK, DOMAIN)[0] == lean()


def test_a_look_taken_twice_is_taken_once() -> None:
    order = lean()
    at = order.index(NUMBER["look at the lamp"])
    doubled = [*order[:at], NUMBER["look at the lamp"], *order[at:]]
    kept, cost = trimmed(doubled, TASK, DOMAIN)
    assert kept == order
    assert cost == plan(DOMAIN).cost_s


def test_the_cost_counts_the_walking_and_says_when_an_order_cannot_be_taken() -> None:
    order = lean()
    assert cost_of(order, TASK, DOMAIN) == plan(DOMAIN).cost_s
    assert cost_of(order[1:], TASK, DOMAIN) is None
    assert cost_of([], TASK, DOMAIN) is None


def test_two_steps_that_undo_one_another_are_left_out_together() -> None:
    order = lean()
    at = order.index(NUMBER["shut the door"])
    to_and_fro = [*order[: at + 1], NUMBER["open the door"], NUMBER["shut the door"], *order[at + 1 :]]
    assert cost_of(to_and_fro, TASK, DOMAIN) is not None
    kept, cost = trimmed(to_and_fro, TASK, DOMAIN)
    assert (kept, cost) == (order, plan(DOMAIN).cost_s)
