"""Answers kept, and forgotten with the fleet that they were worked out with."""

from pathlib import Path
from typing import Any

from headstock.equipment.library import load_fleet
from headstock.web.answers import Answers


def made() -> Answers:
    nothing: Any = None
    return Answers(load_fleet(), nothing, nothing, Path())


def test_another_fleet_forgets_what_was_kept() -> None:
    answers = made()
    assert answers.kept(("a",), lambda: 1) == 1 and answers.kept(("a",), lambda: 2) == 1
    answers.use_fleet(load_fleet())
    assert answers.kept(("a",), lambda: 3) == 3


def test_an_answer_of_the_fleet_before_is_given_but_not_kept() -> None:
    answers = made()

    def work() -> int:
        answers.use_fleet(load_fleet())
        return 1

    assert answers.kept(("a",), work) == 1 and not answers.is_kept("a")
