"""One owner for a fact: hearsay does not travel."""

from __future__ import annotations

import pytest

from headstock.reasoning.step import Step
from headstock.reasoning.telling import learns_by_own_hand, tellings
from headstock.reasoning.variable import Variable, index_by_key

VARIABLES = index_by_key((Variable("cock", ("shut", "open"), "device", "cock"),
                          Variable("lock", ("up", "down"), "device", "lock", sign=True)))  # fmt: skip


def say(steps: tuple[Step, ...], owners: dict[str, str] | None = None) -> tuple[Step, ...]:
    return tellings(steps, (), VARIABLES, 1.0, lambda fact: "", owners or {})


def test_own_hands_tell_of_a_handle_but_not_of_a_sign() -> None:
    step = Step("do", "a", None, effects=(("cock", "open"), ("lock", "down")))
    assert learns_by_own_hand(step, VARIABLES) == (("cock", "open"),)


def test_whoever_needs_a_fact_is_told_by_its_owner() -> None:
    steps = (Step("open", "a", None, effects=(("cock", "open"),)), Step("use", "b", None, knows=(("cock", "open"),)))
    (told,) = say(steps)
    assert (told.role, told.hearer, told.knows, told.tells) == ("a", "b", (("cock", "open"),), (("cock", "open"),))


def test_two_owners_of_one_fact_are_a_fault_unless_one_is_named() -> None:
    steps = (
        Step("open", "a", None, effects=(("cock", "open"),)),
        Step("look", "c", None, shows=(("cock", "open"),)),
        Step("use", "b", None, knows=(("cock", "open"),)),
    )
    with pytest.raises(ValueError, match="two owners"):
        say(steps)
    (told,) = say(steps, {"cock": "c"})
    assert told.role == "c"


def test_nobody_is_told_what_own_eyes_can_show() -> None:
    steps = (Step("look", "a", None, shows=(("lock", "down"),)), Step("use", "a", None, knows=(("lock", "down"),)))
    assert say(steps) == ()
