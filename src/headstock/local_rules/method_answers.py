"""Which due test a method of testing answers: a stricter one stands for the milder ones at standstill, no other for another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from headstock.local_rules.events import STRICTNESS, Covers, DueTest
from headstock.local_rules.test_method import BrakeTestMethod

ANSWERED: Final[Mapping[str, DueTest]] = {
    "continuity": "continuity", "every brake": "full", "wires": "wires", "running": "running",
}  # fmt: skip
"""By what a method answers (its ``tests``); leakage and the electric brake are parts of a test, and no due test by themselves."""
COVERED: Final[frozenset[Covers]] = frozenset({"the whole train", "what was added"})
"""What is tested with the train that is made up; of each portion by itself it says nothing."""


def answers(method: BrakeTestMethod, test: DueTest, covers: Covers = "the whole train") -> bool:
    """Whether a method, made on the whole train, answers a test that is due."""
    made = ANSWERED.get(method.tests)
    if made is None or covers not in COVERED:
        return False
    return made == test or (test in STRICTNESS and STRICTNESS.get(made, -1) >= STRICTNESS[test])


def belongs_to(method: BrakeTestMethod, releases: frozenset[str]) -> bool:
    """Whether a method may be used on a multiple unit whose automatic brakes release so; an example never may."""
    return method.for_use and "multiple unit" in method.for_stock and releases <= set(method.for_release)
