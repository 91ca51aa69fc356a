"""Events on record: each once, durable, found again by their job; touches count against tests on record."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.records.store import StoredRecords
from headstock.usecases.job_book import job_named
from headstock.usecases.records_port import Search
from headstock.usecases.test_events import add_events, event_words, events_of, next_test
from tests.cases.tests_in_hand import book_demo, event, good_test


def test_the_same_events_again_add_nothing(tmp_path: Path) -> None:
    code = book_demo(tmp_path)
    records = StoredRecords(folder=tmp_path)
    job = job_named(code, records)
    test = next_test((), job)
    events = good_test(test)
    assert all(one.is_new for one in add_events(events, job, records))
    assert not any(one.is_new for one in add_events(events[::-1], job, records))
    again = StoredRecords(folder=tmp_path)
    assert sorted(events_of(job, again), key=lambda one: one.order) == sorted(events, key=lambda one: one.order)
    assert next_test(events, job) == f"test-{code}-2"


def test_a_key_never_holds_two_things(tmp_path: Path) -> None:
    code = book_demo(tmp_path)
    records = StoredRecords(folder=tmp_path)
    job = job_named(code, records)
    add_events([event("test-demo-1", 5, "done", stage="charged", key="phone-a:1")], job, records)
    with pytest.raises(InputError):
        add_events([event("test-demo-1", 6, "done", stage="charged", key="phone-a:1")], job, records)


def test_a_touch_stands_among_the_touches_too_unless_it_is_part_of_the_method(tmp_path: Path) -> None:
    code = book_demo(tmp_path)
    records = StoredRecords(folder=tmp_path)
    job = job_named(code, records)
    other = event("test-demo-1", 5, "touched", device="217/2.brake_pipe_cock")
    part = event("test-demo-1", 6, "touched", device="226/2.brake_valve", part_of="rear valve shut")
    add_events([other, part], job, records)
    (touch,) = records.search(Search(kind="touch"))
    assert touch.draft.body["device"] == "217/2.brake_pipe_cock"
    assert records.search(Search(("device:217/2.brake_pipe_cock",))) == (touch,)


def test_a_count_is_on_record_with_how_many_there_are() -> None:
    said = event("test-demo-1", 5, "reading", stage="rear applied", shows="7", of=8, unit="brakes")
    assert event_words(said) == "rear applied: read 7 of 8 brakes"
