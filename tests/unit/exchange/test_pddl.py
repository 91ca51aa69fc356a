"""A domain written as PDDL and read back; the cheapest way through the text is the planner's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.exchange.pddl import UNITS_PER_S, PddlTask
from headstock.reasoning.planner import plan
from tests.cases.pddl_text import read_files
from tests.unit.reasoning.toy import toy_domain


@pytest.mark.parametrize("fresh", [False, True])
def test_the_cheapest_way_through_the_text_costs_what_the_planner_says(fresh: bool) -> None:
    domain = toy_domain(fresh)
    task, order = PddlTask(domain, "toy"), plan(domain)
    files = read_files(task.domain_text(), task.problem_text())
    if order.answer == "planned":
        assert files.cheapest(files.start)[0] == pytest.approx(UNITS_PER_S * order.cost_s, abs=len(order.steps))
    else:
        with pytest.raises(LookupError):
            files.cheapest(files.start)


def test_two_steps_of_one_name_are_refused() -> None:
    domain = toy_domain()
    twin = replace(domain.steps[0], needs=())
    with pytest.raises(ValueError, match="two steps of one name"):
        PddlTask(replace(domain, steps=(*domain.steps, twin)), "toy")


def test_names_are_given_once_whatever_they_stand_for() -> None:
    text = PddlTask(toy_domain(), "217 object is").domain_text()
    assert text.startswith("(define (domain n217-object-is)")
    names = text.split("(:constants")[1].split(")")[0].split()
    words = [name for name in names if name != "-" and name not in ("thing", "value", "role", "place")]
    assert len(words) == len(set(words))
