"""What becomes of the toy's mistakes, by a list written by hand."""

from __future__ import annotations

import pytest

from tests.unit.reasoning.runs import the_outcome, toy_outcomes

OUTCOMES = toy_outcomes()
# kind, step, moved past, verdict, who notices and by what, first rule broken. Why, in words beside each row.
BY_HAND: tuple[tuple[str, str, str | None, str, str, bool], ...] = (
    # The worker goes into the dark; the keeper has the door in hand when he comes to shut it.
    ("left out", "open the door", None, "noticed", "keeper hand", True),
    ("left out", "tell the worker: door open", None, "noticed", "worker word", False),
    # Whoever lights the lamp is in the shed whether going in was a step or not.
    ("left out", "go in", None, "harmless", "", False),
    ("left out", "light the lamp", None, "noticed", "worker look", False),
    # The lamp is lit all the same; the worker says so without having looked.
    ("left out", "look at the lamp", None, "harmless", "", False),
    # Shut in, and nobody sees it from the gate.
    ("left out", "come out", None, "unseen", "", True),
    ("left out", "tell the keeper: lamp lit", None, "noticed", "keeper word", False),
    ("left out", "shut the door", None, "latent", "", False),
    ("half done", "light the lamp", None, "noticed", "worker look", False),
    ("half done", "look at the lamp", None, "harmless", "", False),
    ("too early", "go in", "tell the worker: door open", "harmless", "", False),
    # He is in the dark until the keeper opens.
    ("too early", "go in", "open the door", "unseen", "", True),
    ("too late", "light the lamp", "look at the lamp", "noticed", "worker look", False),
    # The keeper shuts while the worker is still in.
    ("too late", "come out", "shut the door", "unseen", "", True),
    ("too early", "shut the door", "come out", "unseen", "", True),
    # He shuts the door before it was opened: it is shut in his hand.
    ("too early", "shut the door", "open the door", "noticed", "keeper hand", False),
    ("too late", "tell the keeper: lamp lit", "shut the door", "noticed", "keeper word", False),
)  # fmt: skip


@pytest.mark.parametrize("row", BY_HAND, ids=lambda row: " ".join(filter(None, row[:3])))
def test_what_becomes_of_it_is_what_was_written_by_hand(row: tuple[str, str, str | None, str, str, bool]) -> None:
    kind, line, past, verdict, noticed, broken = row
    outcome = the_outcome(OUTCOMES, kind, line, past)
    found = "" if outcome.noticing is None else f"{outcome.noticing.who} {outcome.noticing.means}"
    assert (outcome.verdict, found, bool(outcome.broken)) == (verdict, noticed, broken)


def test_no_answer_is_empty() -> None:
    for outcome in OUTCOMES:
        assert (outcome.noticing is not None) == (outcome.verdict == "noticed")
        assert bool(outcome.left) == (outcome.verdict == "latent")
        assert bool(outcome.broken) or outcome.verdict != "unseen"
        if outcome.noticing is not None:
            assert outcome.noticing.text


def test_a_broken_rule_says_why_and_how_it_hurts() -> None:
    (broken,) = the_outcome(OUTCOMES, "left out", "come out").broken
    assert (broken.line, broken.key, broken.hurts) == (8, "dark", "harm")
    assert broken.text == "nobody is shut in: the worker is shut in"


def test_what_goes_into_service_says_what_is_wrong() -> None:
    assert the_outcome(OUTCOMES, "left out", "shut the door").left == (("door", "shut"),)
