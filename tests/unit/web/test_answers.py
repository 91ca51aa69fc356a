"""Answers kept, and forgotten with the fleet that they were worked out with."""

import threading
from pathlib import Path
from typing import Any

import pytest

from headstock.equipment.library import load_fleet
from headstock.web.answers import MOST_KEPT, Answers
from headstock.web.test_answers import Outcome, begun


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


def fill(answers: Answers, kind: str) -> None:
    for number in range(MOST_KEPT):
        answers.kept((kind, str(number)), lambda: None)


def test_many_answers_of_one_kind_drive_out_the_oldest_of_that_kind_alone() -> None:
    answers = made()
    answers.kept(("plan", "first"), lambda: 1)
    answers.kept(("read", "first"), lambda: 1)
    answers.kept(("read", "second"), lambda: 1)
    answers.kept(("read", "first"), lambda: 1)
    fill(answers, "read")
    assert answers.is_kept("plan", "first") and not answers.is_kept("read", "second") and not answers.is_kept("read", "first")
    assert answers.is_kept("read", "0")


def test_what_was_asked_for_lately_stays() -> None:
    answers = made()
    fill(answers, "read")
    answers.kept(("read", "0"), lambda: None)
    answers.kept(("read", "one more"), lambda: None)
    assert answers.is_kept("read", "0") and not answers.is_kept("read", "1")


def test_failed_work_leaves_nothing_behind() -> None:
    answers = made()

    def failing() -> int:
        raise ValueError("no")

    for _ in range(2):
        with pytest.raises(ValueError, match="no"):
            answers.kept(("a", "b"), failing)
    assert not answers._busy and answers.kept(("a", "b"), lambda: 1) == 1 and not answers._busy


def asked_until_there(answers: Answers) -> Outcome[int]:
    """Ask as a page does, over and over; each time the work that goes on is waited for."""
    for _ in range(3):
        found = begun(answers, ("slow", "a"), lambda: 7)
        if found is not None:
            return found
        for thread in threading.enumerate():
            if thread.daemon and thread is not threading.current_thread():
                thread.join(2)
    raise AssertionError("still being worked out")


def test_long_work_whose_answer_made_room_is_begun_again() -> None:
    answers = made()
    assert asked_until_there(answers).value == 7
    fill(answers, "slow")
    assert not answers.is_kept("slow", "a") and asked_until_there(answers).value == 7
