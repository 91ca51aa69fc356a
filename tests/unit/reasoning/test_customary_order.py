"""Custom in the second pass: where the order is free its first comes first, and nothing waits for what rests on it."""

from __future__ import annotations

from dataclasses import replace

from headstock.reasoning.domain import Domain, Place
from headstock.reasoning.second_pass import settle_order
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Variable, index_by_key

NAMES = ("a", "b", "c", "d")


def _step(name: str, *needs: str, phase: str = "one") -> Step:
    return Step(name, "worker", "yard", needs=tuple((need, "done") for need in needs), effects=((name, "done"),), phase=phase)


def _order(steps: tuple[Step, ...], customary: dict[str, int]) -> str:
    domain = Domain(
        variables=index_by_key(Variable(name, ("open", "done"), "device", name) for name in NAMES),
        places={"yard": Place("yard", "in the yard", 0.0)}, people={"worker": "yard"}, steps=steps, constraints=(),
        start=dict.fromkeys(NAMES, "open"), goal=(), phases=("one", "two"), customary=customary,
    )  # fmt: skip
    return "".join(step.key for step in settle_order(steps, domain))


def test_what_custom_puts_first_comes_first_and_the_rest_keeps_its_order() -> None:
    steps = tuple(map(_step, NAMES))
    assert _order(steps, {}) == "abcd"
    assert _order(steps, {"d": 0, "b": 1}) == "acdb", "a and c are nobody's custom"
    assert _order(steps, {"d": 0, "b": 0}) == "abcd", "alike in custom"


def test_what_is_needed_is_not_held_up_by_what_rests_on_it() -> None:
    steps = (_step("a"), _step("c"), _step("d", "a"), _step("b", "d"))
    assert _order(steps, {"a": 1, "b": 0}) == "acdb"
    assert _order((*steps[:3], replace(steps[3], needs=())), {"a": 1, "b": 0}) == "cbad"


def test_custom_stays_within_its_phase() -> None:
    steps = (_step("a"), _step("b", phase="two"))
    assert _order(steps, {"b": 0, "a": 1}) == "ab"
