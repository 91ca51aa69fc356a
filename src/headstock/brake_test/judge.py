"""Are the readings of a brake test within limits? Within, not within, not yet, or refused; never that the train may go.

Limits decide. A forecast only remarks. One direction alone is "not yet"; so is a test in whose path something was touched.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from headstock.brake_test.impossible import Refusal, refusals
from headstock.brake_test.reading_verdict import ReadingVerdict, reading_verdict
from headstock.brake_test.test_record import TestRecord
from headstock.brake_test.touches import Touch, touched_since
from headstock.devices.key_words import device_in_words
from headstock.local_rules.tests_due import RUNNING_TEST_BLIND, VOIDED

Verdict = Literal["within limits", "not within limits", "not yet", "refused"]
EXAMPLE: Final = "The method is an example from published texts or from memory: not for use on any train."
ASK_AGAIN: Final = "Ask again at departure and at handover: touched since?"
WAYS: Final = ("front to rear", "rear to front")


@dataclass(frozen=True, slots=True)
class Judgement:
    """The answer. ``reasons`` say why it is not "within limits"; ``remarks`` change nothing."""

    verdict: Verdict
    readings: tuple[ReadingVerdict, ...]
    reasons: tuple[str, ...]
    remarks: tuple[str, ...]
    refusals: tuple[Refusal, ...] = ()
    void_by: tuple[Touch, ...] = ()


def judge(record: TestRecord) -> Judgement:
    """Judge a record whose lines are in order and belong to the method."""
    refused = refusals(record)
    remarks = tuple(_remarks(record))
    if refused:
        return Judgement("refused", (), tuple(refusal.what for refusal in refused), remarks, refused)
    readings = tuple(reading_verdict(record, stage) for stage in record.method.readings)
    void_by = _void_by(record)
    outside = tuple(f"{reading.name}: not within limits" for reading in readings if reading.state == "not within limits")
    lacking = (*_lacking(record, readings), *_touched(record, void_by))
    verdict: Verdict = "not within limits" if outside else "not yet" if lacking else "within limits"
    return Judgement(verdict, readings, (*outside, *lacking), remarks, (), void_by)


def _lacking(record: TestRecord, readings: tuple[ReadingVerdict, ...]) -> Iterator[str]:
    """What is still to be done before anything can pass."""
    method = record.method
    for reading in readings:
        if reading.state == "not yet":
            yield f"{reading.name}: {reading.remarks[0] if reading.remarks else 'not read'}"
    yield from _acts_too_short(record)
    if method.tests == "continuity":
        good = {reading.stage for reading in readings if reading.state == "within limits"}
        shown = {stage.reading.shows for stage in method.readings if stage.reading and stage.key in good}
        missing = [way for way in WAYS if way not in shown]
        if missing:
            yield f"nothing shows yet that the pipe is through {' and '.join(missing)}: one direction alone proves nothing"
    if method.nothing_with_electric_brake and record.train.electric_in_use is not False:
        known = "is in use" if record.train.electric_in_use else "may be in use"
        yield f"an electric or electrically controlled brake {known}. {RUNNING_TEST_BLIND}"
    charging = next((stage for stage in method.stages if stage.waits == "charge_at_least_s"), None)
    if charging is not None and not record.of_stage(charging.key):
        yield f"when charging began is not on record: a line for the stage {charging.key}"


def _acts_too_short(record: TestRecord) -> Iterator[str]:
    """Something done for less long than the method asks, where what comes next is done and not read."""
    for here, there in pairwise(record.method.stages):
        first, then = record.of_stage(here.key), record.of_stage(there.key)
        if here.waits is None or here.reading or there.reading or not first or not then or here.waits == "charge_at_least_s":
            continue
        lasted_s, least_s = then[0].when_s - first[0].when_s, record.rules.limit(here.waits)
        if lasted_s + then[0].within_s < least_s:
            yield f"{here.key} lasted {lasted_s:.0f} s, at least {least_s:.0f} s are asked for"


def _void_by(record: TestRecord) -> tuple[Touch, ...]:
    if record.path is None or not record.entries:
        return ()
    last = record.entries[-1]
    return touched_since(record.touches, record.path, record.entries[0].when_s, last.when_s + last.within_s)


def _touched(record: TestRecord, void_by: tuple[Touch, ...]) -> Iterator[str]:
    for touch in void_by:
        yield f"{device_in_words(touch.device)} touched by {touch.who}: the test is void. {VOIDED}"
    for asked in record.asked:
        if asked.touched:
            yield f"touched since, says {asked.who} at {asked.at}: the test is void. {VOIDED}"
    if record.asked_for:
        last = max((entry.when_s for entry in record.entries), default=0.0)
        said = [asked for asked in record.asked if asked.at == record.asked_for and asked.when_s >= last]
        if not said:
            yield f"touched since? Nobody has answered that at {record.asked_for}"


def _remarks(record: TestRecord) -> Iterator[str]:
    if not record.method.for_use:
        yield EXAMPLE
    people = dict.fromkeys(entry.who for entry in record.entries)
    if record.method.one_person and len(people) > 1:
        yield f"the method is for one person alone, the record names {' and '.join(people)}"
    if any(entry.within_s > 1.0 for entry in record.entries):
        yield "times are to the minute: waits and walks are taken as long as they can have been"
    if record.path is None:
        yield "the train's devices are not known: a touch log cannot be held against the test"
