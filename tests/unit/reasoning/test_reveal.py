"""What shows a hole, on a toy world: the first later line that fails for its sake, or nothing."""

from __future__ import annotations

from headstock.reasoning.checker import check
from headstock.reasoning.planner import plan
from headstock.reasoning.reveal import LOOKED_FOR, reveals
from headstock.reasoning.step import Step
from tests.unit.reasoning.toy import toy_domain

ORDER = list(plan(toy_domain()).steps)


def shown(order: list[Step]) -> dict[tuple[str, str], tuple[str, bool] | None]:
    """By kind and thing, of the first complaint of it: the step that shows it and whether it comes before."""
    complaints = check(order, toy_domain()).complaints
    table: dict[tuple[str, str], tuple[str, bool] | None] = {}
    for c, r in zip(complaints, reveals(order, toy_domain(), complaints), strict=True):
        table.setdefault((c.kind, c.about), (r.shown_by.step, r.earlier) if r.shown_by is not None else None)
    return table


def left_out(*keys: str) -> list[Step]:
    return [step for step in ORDER if step.key not in keys]


def test_a_lamp_never_lit_is_shown_by_whoever_must_know_it() -> None:
    found = shown(left_out("light the lamp"))
    assert found["need", "lamp=lit"] == ("tell the keeper: lamp lit", False)


def test_what_only_the_end_state_misses_stays_hidden() -> None:
    found = shown([step for step in ORDER if step.key != "shut the door"])
    assert found["end state", "door=shut"] is None


def test_what_the_end_state_misses_after_a_look_had_shown_it_says_so() -> None:
    found = shown(left_out("light the lamp"))
    assert found["end state", "lamp=lit"] == ("look at the lamp", True)


def test_a_broken_constraint_is_shown_by_the_line_that_fails_on_what_was_broken() -> None:
    shut_early = Step("shut the door early", "keeper", "gate", effects=(("door", "shut"),))
    inside = [step.key for step in ORDER].index("light the lamp")
    found = shown([*ORDER[:inside], shut_early, *ORDER[inside:]])
    assert found["constraint", "dark"] == ("shut the door", False)


def test_a_hole_of_another_thing_further_on_is_not_taken_for_its_sign() -> None:
    without_door = left_out("open the door")
    found = shown([*without_door, Step("paint the board", "keeper", "shed")])
    assert found["need", "door=open"] == ("shut the door", False)
    assert all(reveal is None or reveal[0] != "paint the board" for reveal in found.values())


def test_an_earlier_line_that_fails_for_another_sake_shows_nothing() -> None:
    paint = next(step for step in toy_domain().steps if step.key == "paint the board")
    order = left_out("light the lamp")
    at = [step.key for step in order].index("look at the lamp") + 1
    found = shown([*order[:at], paint, paint, *order[at:]])
    assert ("need", "board=off") in found, "the board is painted twice"
    assert found["need", "lamp=lit"] == ("tell the keeper: lamp lit", False)


def test_after_very_many_holes_nobody_claims_that_a_hole_stays_hidden() -> None:
    order = ["dance"] * (LOOKED_FOR + 1)
    complaints = check(order, toy_domain()).complaints
    found = reveals(order, toy_domain(), complaints)
    assert [reveal.looked_for for reveal in found].index(False) == LOOKED_FOR
