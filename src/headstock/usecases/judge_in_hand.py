"""Whoever tests asks after every reading: is it within limits, is anything to be doubted, is the test void?

The test in hand is written as a readings file and judged as one, so that page, command and record say the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from headstock.base.documents import document_from_text
from headstock.base.errors import Fault
from headstock.base.loading import load_as
from headstock.brake_test.judge import Judgement, judge
from headstock.brake_test.reading_verdict import ReadingVerdict
from headstock.brake_test.test_record import TestRecord
from headstock.local_rules.method_stage import Stage
from headstock.usecases.judge_readings import record_of
from headstock.usecases.readings_file import ReadingsFile
from headstock.usecases.record_check import RecordCheck
from headstock.usecases.test_in_hand import StageInHand, TestEvent, TestInHand
from headstock.usecases.test_papers import TestPapers

NAME: Final = "the test in hand"


@dataclass(frozen=True, slots=True)
class JudgedInHand:
    """A test in hand as far as it goes; ``record`` None where nothing was done yet; ``faults``: what cannot be meant."""

    record: TestRecord | None
    judgement: Judgement | None
    faults: tuple[Fault, ...] = ()

    def of_stage(self, key: str) -> ReadingVerdict | None:
        """The verdict on a stage's reading, once there is one."""
        readings = self.judgement.readings if self.judgement is not None else ()
        return next((one for one in readings if one.stage == key and one.remarks != ("not read",)), None)


def judge_in_hand(hand: TestInHand, given: TestPapers, expected: Mapping[str, tuple[float, float]],
                  earlier: str | None = None) -> JudgedInHand:  # fmt: skip
    """Judge what is there. Readings that differ are not judged until a person has said which one holds.

    ``earlier``: when the application of a test before it was released.
    """
    if not any(True for _ in _lines(hand, given)):
        return JudgedInHand(None, None)
    document = document_from_text(readings_text(hand, given, "job.yaml", earlier), NAME)
    file = load_as(document, ReadingsFile, "readings")
    check = RecordCheck(document, file, given.papers.method, given.papers.rules, given.train)
    record = record_of(check, expected)
    return JudgedInHand(record, judge(record), tuple(check.times.faults))


def readings_text(hand: TestInHand, given: TestPapers, job: str, earlier: str | None = None) -> str:
    """The test as a readings file beside its job's file."""
    papers = given.papers
    head = {
        "headstock": "readings 1", "title": f"Brake test: {papers.job.title}"[:80], "invented": papers.job.invented, "job": job,
        "rules_edition": papers.rules.edition,
    }  # fmt: skip
    parts = [f"{key}: {json.dumps(value)}" if key != "headstock" else f"{key}: {value}" for key, value in head.items()]
    parts += [f"earlier_released: {json.dumps(earlier)}"] if earlier else []
    parts += _block("readings", _lines(hand, given))
    parts += _block("touches", ({"time": one.at, "device": one.device, "who": one.who, "part_of": one.part_of}
                                for one in hand.touches))  # fmt: skip
    parts += _block("touched_since", ({"time": one.at, "at": one.asked_at, "who": one.who, "touched": one.touched}
                                      for one in hand.asked))  # fmt: skip
    return "\n".join(parts) + "\n"


def _block(name: str, lines: Iterator[dict[str, Any]]) -> list[str]:
    written = [f"  - {json.dumps({key: value for key, value in line.items() if value not in (None, '')})}" for line in lines]
    return [f"{name}:", *written] if written else []


def _lines(hand: TestInHand, given: TestPapers) -> Iterator[dict[str, Any]]:
    """One line a stage that was done, or read by people who agree."""
    stages = {stage.key: stage for stage in given.papers.method.stages}
    for here in hand.stages:
        stage = stages[here.key]
        event = here.reading if stage.reading is not None else here.done
        if event is not None:
            yield _line(stage, event, given)


def _line(stage: Stage, event: TestEvent, given: TestPapers) -> dict[str, Any]:
    line: dict[str, Any] = {"stage": stage.key, "who": event.who, "time": event.when}
    if stage.reading is None:
        return line
    if given.train.cabs is not None and stage.reading.reads in ("brake pipe", "brake cylinder"):
        line["cab"] = given.train.cabs[stage.at]
    if event.seen is not None:
        return line | {"seen": event.seen}
    before = float(event.before) if event.before is not None else None
    return line | {"shows": float(event.shows or 0), "unit": event.unit, "before": before, "of": event.of}


def released_at(earlier: TestInHand, given: TestPapers) -> str | None:
    """When the application of an earlier test was released at the soonest; None where it drew nothing off the pipe."""
    drawn = {stage.key for stage in given.papers.method.stages if stage.leaves_pipe == "drawn"}
    events = [event for stage in earlier.stages for event in (stage.done, *stage.standing) if event is not None]
    return max((event.when for event in events), default=None) if drawn & {event.stage for event in events} else None


def why_not_filed(hand: TestInHand) -> tuple[str, ...]:
    """What a person has to settle before the test goes on record."""
    return tuple(f"{stage.key}: {conflict_words(stage)}: somebody has to say which one holds" for stage in hand.conflicts)


def conflict_words(stage: StageInHand) -> str:
    """Readings of one stage that differ."""
    return " and ".join(f"{figure_words(event)} by {event.who} at {event.when[11:]}" for event in stage.standing)


def figure_words(event: TestEvent) -> str:
    """What was read, as a person says it."""
    if event.seen is not None:
        return "as it must be" if event.seen else "not as it must be"
    of = f" of {event.of}" if event.of else ""
    return f"{event.shows}{of} {event.unit}".strip()
