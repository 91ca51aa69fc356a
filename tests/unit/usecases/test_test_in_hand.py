"""A test in hand is the same whatever the order in which its events came, and however often."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import InputError
from headstock.usecases.test_events import event_given
from headstock.usecases.test_in_hand import TestEvent, fold, newest_test
from tests.cases.tests_in_hand import event, good_test

STAGES = (
    "charged",
    "rear charged",
    "lapped",
    "rear applied",
    "front fallen",
    "rear shut",
    "no rise",
    "restored",
    "rear restored",
)
T = "test-demo-1"


def reading(seconds: int, figure: str, phone: str, **said: object) -> TestEvent:
    return event(T, seconds, "reading", stage="rear applied", shows=figure, unit="bar", phone=phone, **said)


MUDDLE = [
    *good_test(T, 9), reading(371, "3.8", "b"), reading(371, "3.5", "c", replaces=("test-demo-1:reading:371:b",)),
    event(T, 375, "touched", device="217/2.brake_pipe_cock"), event(T, 376, "between", place="217/2 and 226/1"),
    event(T, 379, "out", ends=f"{T}:between:376:"), event(T, 390, "cannot read", stage="no rise"),
    event(T, 391, "look", cause="brake pipe cock of 217/2 shut", is_there=False),
    event(T, 395, "look", cause="brake pipe cock of 217/2 shut", is_there=True), event(T, 399, "reading", stage="odd", seen=True),
    event("test-demo-2", 5, "done", stage="charged"),
]  # fmt: skip


@given(st.permutations(MUDDLE), st.lists(st.sampled_from(MUDDLE), max_size=20))
def test_neither_order_nor_repetition_changes_a_test(events: list[TestEvent], again: list[TestEvent]) -> None:
    assert fold([*events, *again], STAGES, T) == fold(MUDDLE, STAGES, T)


@given(st.integers(0, 9), st.data())
def test_events_that_come_late_are_in_it_as_if_they_had_come_at_once(cut: int, data: st.DataObject) -> None:
    early, late = MUDDLE[:cut], MUDDLE[cut:]
    mixed = [*late, *data.draw(st.permutations(early))]
    assert fold(mixed, STAGES, T).stages == fold(MUDDLE, STAGES, T).stages


def test_two_phones_that_read_alike_agree() -> None:
    stage = fold([*good_test(T, 5), reading(371, "3.40", "b")], STAGES, T).stages[3]
    assert len(stage.standing) == 2 and not stage.in_conflict
    assert stage.reading is not None and stage.reading.shows == "3.4"


def test_two_phones_that_read_otherwise_are_both_kept_until_somebody_corrects() -> None:
    events = [*good_test(T, 5), reading(371, "3.8", "b")]
    stage = fold(events, STAGES, T).stages[3]
    assert stage.in_conflict and stage.reading is None
    assert [one.shows for one in stage.standing] == ["3.4", "3.8"]
    settled = reading(400, "3.8", "a", replaces=tuple(one.key for one in stage.standing))
    stage = fold([*events, settled], STAGES, T).stages[3]
    assert stage.reading == settled and {one.shows for one in stage.corrected} == {"3.4", "3.8"}


def test_two_corrections_that_differ_are_a_conflict_again() -> None:
    old = f"{T}:reading:370:"
    stage = fold(
        [*good_test(T, 5), reading(400, "3.6", "a", replaces=(old,)), reading(401, "3.0", "b", replaces=(old,))], STAGES, T
    )
    assert stage.stages[3].in_conflict


def test_the_stage_in_hand_is_after_the_farthest_that_was_done() -> None:
    assert fold(good_test(T, 4), STAGES, T).at == 3
    assert fold(good_test(T), STAGES, T).is_through
    assert fold([], STAGES, T).at == 0


def test_whoever_went_between_is_between_until_come_out() -> None:
    gone = event(T, 376, "between", place="217/2 and 226/1", protection="1")
    assert fold([*good_test(T, 3), gone], STAGES, T).between == (gone,)
    assert fold([event(T, 379, "out", ends=gone.key), *good_test(T, 3), gone], STAGES, T).between == ()


def test_the_newest_test_is_so_by_its_number_not_by_a_clock() -> None:
    assert newest_test([event("test-demo-10", 0, "begun"), event("test-demo-9", 9999, "begun")]) == "test-demo-10"
    assert newest_test([]) is None


@pytest.mark.parametrize(
    "said",
    [
        {"what": "reading", "stage": "no rise"},
        {"what": "reading", "shows": "3.4"},
        {"what": "reading", "stage": "no rise", "shows": "3,4"},
        {"what": "touched"},
        {"what": "out"},
        {"what": "asked", "asked_at": "departure"},
        {"what": "begun", "at": "2999-01-01 00:00:00"},
        {"what": "begun", "key": "a b"},
        {"what": "begun", "more": 1},
    ],
)
def test_what_is_no_event_is_refused_with_its_field(said: dict[str, object]) -> None:
    whole = {"key": "phone-a:1", "test": T, "what": "begun", "at": "2026-01-20 10:00:00", "who": "J. Tolk", **said}
    with pytest.raises(InputError):
        event_given(whole)
