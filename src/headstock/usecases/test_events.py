"""Events of a brake test in hand on record: each an entry of its own, found again by the job that it belongs to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from pydantic import ValidationError

from headstock.base.errors import Fault, InputError
from headstock.usecases.job_book import BookedJob
from headstock.usecases.judge_in_hand import figure_words
from headstock.usecases.moments import latest_anywhere_s, moment_s
from headstock.usecases.record_terms import terms_of, unit_of, word_terms
from headstock.usecases.records_port import Draft, Filed, Records, Search
from headstock.usecases.test_in_hand import TestEvent, What, newest_test, test_number

MANY: Final = 20_000
WORDS: Final[dict[What, str]] = {
    "begun": "brake test begun", "done": "{stage} done", "reading": "{stage}: read {figure}",
    "cannot read": "{stage}: cannot be read", "touched": "{device} touched", "between": "gone between at {place}",
    "out": "come out from between", "asked": "touched since? at {asked_at}: {answer}", "look": "{cause}: {there}",
    "stopped": "stopped, made safe", "ended": "brake test ended",
}  # fmt: skip


def event_given(said: Mapping[str, Any]) -> TestEvent:
    """An event as somebody sent it. Raises InputError with every fault."""
    try:
        event = TestEvent.model_validate(said)
    except ValidationError as error:
        faults = [Fault(one["msg"], path=".".join(str(part) for part in one["loc"]) or "event", found=str(one["input"])[:80])
                  for one in error.errors()]  # fmt: skip
        raise InputError(faults, cure="Nothing of it was kept.") from None
    for name, moment in (("at", event.at), ("read_at", event.when)):
        if moment_s(moment, name) > latest_anywhere_s():
            raise InputError(Fault("that is yet to come", path=name, found=moment, expected="a moment that has been"))
    return event


def event_words(event: TestEvent) -> str:
    """An event in a few words."""
    return WORDS[event.what].format(
        stage=event.stage, figure=figure_words(event), device=event.device, place=event.place, asked_at=event.asked_at,
        cause=event.cause, answer="yes" if event.touched else "no", there="there" if event.is_there else "not there",
    )  # fmt: skip


def event_drafts(event: TestEvent, job: BookedJob) -> tuple[Draft, ...]:
    """The entry of an event; a touch that is no part of the method is an entry among the touches too, for tests on record."""
    body = {**event.model_dump(mode="json", exclude_none=True), "job": job.code, "text": event_words(event)}
    terms = terms_of(["kind:event", _job_term(job.code), f"test:{event.test}"])
    own = Draft("event", event.key, event.at, terms, body)
    if event.what != "touched" or event.part_of:
        return (own,)
    said = {"device": event.device, "who": event.who, "when": event.at, "part_of": "", "test": None}
    found = ["kind:touch", f"device:{event.device}", event.device, unit_of(event.device), *word_terms(event.who)]
    return own, Draft("touch", f"touch:{event.key}", event.at, terms_of(found), said)


def add_events(events: Iterable[TestEvent], job: BookedJob, records: Records) -> tuple[Filed, ...]:
    """Put events on record, durable on return; those that are there already add nothing. Raises InputError, StorageError."""
    return records.append([draft for event in events for draft in event_drafts(event, job)])


def events_of(job: BookedJob, records: Records) -> tuple[TestEvent, ...]:
    """All events of a job's tests."""
    found = records.search(Search((_job_term(job.code),), kind="event", top=MANY))
    return tuple(_event(one) for one in found)


def _event(entry: Filed) -> TestEvent:
    body = {name: value for name, value in entry.draft.body.items() if name not in ("job", "text")}
    return TestEvent.model_validate(body)


def _job_term(code: str) -> str:
    return f"in hand:{code}"


def next_test(events: Iterable[TestEvent], job: BookedJob) -> str:
    """The name of the next test: the same on every phone, so that two who begin at once begin one test."""
    newest = newest_test(events)
    return f"test-{job.code}-{test_number(newest) + 1 if newest is not None else 1}"
