"""Brake tests in hand for tests: the demo job's method, done so far as asked, by events as phones send them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from headstock.records.store import StoredRecords
from headstock.usecases.job_book import BookedJob, job_draft, job_named
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.test_events import add_events, event_given, events_of, next_test
from headstock.usecases.test_in_hand import TestEvent

DONE: list[tuple[int, str, str, str, str]] = [
    (5, "done", "M. Iden", "charged", ""), (310, "reading", "P. Oad", "rear charged", "4.9"),
    (320, "done", "P. Oad", "rear charged", ""), (340, "done", "M. Iden", "lapped", ""),
    (370, "reading", "P. Oad", "rear applied", "3.4"), (372, "done", "P. Oad", "rear applied", ""),
    (380, "reading", "M. Iden", "front fallen", "3.4"), (381, "done", "M. Iden", "front fallen", ""),
    (400, "done", "P. Oad", "rear shut", ""), (440, "reading", "M. Iden", "no rise", "3.4"),
    (442, "done", "M. Iden", "no rise", ""), (460, "done", "M. Iden", "restored", ""),
    (720, "reading", "P. Oad", "rear restored", "4.9"), (721, "done", "P. Oad", "rear restored", ""),
]  # fmt: skip
"""A whole good test: seconds from its beginning, what, who, stage, figure in bar."""
BEGAN = datetime(2026, 1, 20, 10, 0, 0)


def event(test: str, seconds: int, what: str, who: str = "J. Tolk", began: datetime = BEGAN, **said: Any) -> TestEvent:
    """One event."""
    key = said.pop("key", f"{test}:{what.replace(' ', '-')}:{seconds}:{said.get('phone', '')}")
    return event_given(
        {"key": key, "test": test, "what": what, "at": str(began + timedelta(seconds=seconds)), "who": who, **said}
    )


def good_test(test: str, upto: int = len(DONE), began: datetime = BEGAN) -> list[TestEvent]:
    """A test that was begun, and its first so many events."""
    found = [event(test, 0, "begun", "M. Iden", began, key=f"begun:{test}")]
    for seconds, what, who, stage, figure in DONE[:upto]:
        read = {"shows": figure, "unit": "bar"} if figure else {}
        found.append(event(test, seconds, what, who, began, stage=stage, **read))
    return found


def book_demo(data: Path, name: str = "demo-attach") -> str:
    """Put a built-in job on the book of a data folder; its code."""
    records = StoredRecords(folder=data)
    draft, _ = job_draft((JOBS_FOLDER / f"{name}.yaml").read_text(encoding="utf-8"), data / "job-files", "P. Oad")
    (filed,) = records.append([draft])
    records.close()
    return filed.code


def put_test(data: Path, code: str, upto: int = len(DONE), more: Iterable[dict[str, Any]] = ()) -> str:
    """A new test of a booked job, begun twenty minutes ago, with events of one's own after it; its name."""
    records = StoredRecords(folder=data)
    job: BookedJob = job_named(code, records)
    test = next_test(events_of(job, records), job)
    began = datetime.now().replace(microsecond=0) - timedelta(minutes=20)
    events = good_test(test, upto, began) + [event(test, began=began, **one) for one in more]
    add_events(events, job, records)
    records.close()
    return test
