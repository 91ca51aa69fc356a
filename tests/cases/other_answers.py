"""What joinability and the trigger set answer, in a line."""

from __future__ import annotations

from headstock.equipment.library import load_fleet
from headstock.formation.joinability import TypeEnd, can_be_joined
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.usecases.which_tests import which_tests

FLEET, RULES = load_fleet(), load_local_rules(BUILT_IN / "wending-vale.yaml")


def joined(a: str, b: str) -> str:
    """All that is said of joining two ends."""
    ends = [TypeEnd(text, FLEET.find(text.split("/")[0]), text.split("/")[1]) for text in (a, b)]
    return str(can_be_joined(ends[0], ends[1], RULES))


def due(*events: str) -> list[str]:
    """The tests that are due after events."""
    return [one.test for one in which_tests(events, [], None, None, FLEET).result.due]
