"""A point on the way: state, people, knowledge, and what of it is at first hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.reasoning.planner import plan
from headstock.reasoning.point import point_after
from tests.cases.jobs import DEMO, order_of


def test_before_the_first_line_all_is_as_found() -> None:
    steps, domain = order_of(DEMO)
    point = point_after(steps, domain, 0)
    assert point.state == dict(domain.start)
    assert point.people == dict(domain.people)
    assert point.knows == domain.start_knows


def test_what_one_was_told_is_known_but_not_at_first_hand() -> None:
    steps, domain = order_of(DEMO)
    number, told = next((number, step) for number, step in enumerate(steps, start=1) if step.tells and not step.effects)
    point = point_after(steps, domain, number)
    assert (told.hearer, told.tells[0]) in point.knows
    assert (told.hearer, told.tells[0]) not in point.first_hand
    assert (told.role, told.tells[0]) in point.first_hand


def test_touching_a_thing_ends_what_was_known_at_first_hand() -> None:
    steps, domain = order_of(DEMO)
    number = next(
        number for number, step in enumerate(steps, start=1) if step.key.startswith("take off the parking brake of 226")
    )
    point = point_after(steps, domain, number)
    assert not any(fact == ("226.parking_brake", "on") for _, fact in point.first_hand)


def test_from_a_point_the_rest_of_a_best_order_costs_what_is_left_of_it() -> None:
    steps, domain = order_of(DEMO)
    first = point_after(steps, domain, 1)
    begun = replace(domain, start=dict(first.state), people=dict(first.people), start_knows=first.knows)
    whole, rest = plan(domain), plan(begun)
    assert rest.answer == "planned"
    assert rest.cost_s == pytest.approx(whole.cost_s - steps[0].duration_s)


def test_a_line_past_the_last_is_refused() -> None:
    steps, domain = order_of(DEMO)
    with pytest.raises(ValueError, match="lines 1 to"):
        point_after(steps, domain, len(steps) + 1)
