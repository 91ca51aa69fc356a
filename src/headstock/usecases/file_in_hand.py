"""Somebody asks to put the finished test in hand on record: by the rules of any filed test, once, or refused with reasons."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from headstock.base.errors import InputError
from headstock.equipment.library import Fleet
from headstock.usecases.file_test import Filing, filing_of
from headstock.usecases.judge_in_hand import why_not_filed
from headstock.usecases.judge_readings import ReadRecorder
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.usecases.records_port import Draft, Filed, Records, Search
from headstock.usecases.test_in_hand import TestEvent, TestInHand


@dataclass(frozen=True, slots=True)
class FilingInHand:
    """The entry of the test, or why it is not filed."""

    refused: tuple[str, ...]
    draft: Draft | None = None


def filing_in_hand(hand: TestInHand, file: Path, fleet: Fleet, read_recorder: ReadRecorder, before: Filed | None) -> FilingInHand:
    """The test as it would be filed; ``before``: its entry from an earlier time, which the new one corrects."""
    refused = why_not_filed(hand)
    if hand.between:
        refused += tuple(f"{event.who} is recorded as between vehicles" for event in hand.between)
    if refused:
        return FilingInHand(refused)
    key = filed_key(hand) if before is None else f"{filed_key(hand)}:{hand.count}"
    try:
        found = filing_of(file, fleet, read_recorder, Filing(key=key, corrects=before.draft.key if before else None))
    except InputError as error:
        return FilingInHand(tuple(fault.text() for fault in error.faults))
    return FilingInHand(found.refused, found.draft)


def filed_key(hand: TestInHand) -> str:
    """The key of a test's entry."""
    return f"filed:{hand.test}"


def filed_of(hand: TestInHand, records: Records) -> Filed | None:
    """The newest entry of a test in hand, None where it was not filed."""
    found = records.named(filed_key(hand))
    if found is None:
        return None
    later = records.search(Search((f"about:{found.draft.key}",), kind="test"))
    while later:
        found = later[0]
        later = records.search(Search((f"about:{found.draft.key}",), kind="test"))
    return found


def is_as_filed(filed: Filed, file: Path) -> bool:
    """Whether phones have sent nothing else since it was filed."""
    return bool(filed.draft.body["file_sha256"] == hashlib.sha256(file.read_bytes()).hexdigest())


def touched_note(event: TestEvent, filed: Filed, records: Records) -> Draft:
    """That something was touched since, as an entry about a filed test."""
    text = f"touched since, says {event.who} at {event.asked_at}: the test is void"
    return note_to_file(NoteGiven("correction", text, event.who, event.at, about=filed.code, key=f"note:{event.key}"), records)
