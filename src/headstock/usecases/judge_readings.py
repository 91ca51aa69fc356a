"""A person in charge asks: are the readings of this brake test within limits? Never whether the train may go.

A record that cannot be meant is refused as bad input, with line and cure, and nothing is judged.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.located import Document
from headstock.brake_test.judge import Judgement, judge
from headstock.brake_test.recorder import RecorderTrace
from headstock.brake_test.test_record import Entry, TestRecord
from headstock.equipment.library import Fleet
from headstock.local_rules.method_stage import Stage
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method, method_path
from headstock.usecases.job_file import job_path, load_job, load_rules_beside
from headstock.usecases.readings_file import ReadingsFile, RecorderGiven
from headstock.usecases.record_check import RecordCheck
from headstock.usecases.tested_train import TrainOfTest, train_given, train_of_job

ReadRecorder = Callable[[Path, RecorderGiven, float | None], RecorderTrace]
KELVIN = 273.15


@dataclass(frozen=True, slots=True)
class JudgedReadings:
    """The answer with the record that it was asked of."""

    document: Document
    given: ReadingsFile
    record: TestRecord
    judgement: Judgement
    spikes: int = 0
    units: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What the file is called."""
        return self.given.title

    @property
    def invented(self) -> bool:
        """Whether the file says that all in it is invented."""
        return self.given.invented

    @property
    def job(self) -> str | None:
        """The job that the file names."""
        return self.given.job

    def job_to_search(self, beside: Path) -> Path:
        """The file of the job whose train was read. Raises InputError where the record names none."""
        if self.given.job is not None:
            return job_path(self.given.job, beside, self.document)
        fault = Fault("the train is not known vehicle by vehicle", self.document.name, self.document.line_of(("train",)),
                      "train", expected="job: the job of that train")  # fmt: skip
        raise InputError(fault, cure="Name the job: without its cocks and brakes there is nothing to search among.")


def judge_readings(path: Path, fleet: Fleet, read_recorder: ReadRecorder, at: str = "",
                   expected: Mapping[str, tuple[float, float]] | None = None) -> JudgedReadings:  # fmt: skip
    """Judge the record in a file; ``at``: also whether "touched since?" was answered at departure or handover.

    ``expected``: what a forecast says, by stage. Raises InputError for a record that cannot be meant.
    """
    document = read_document(path)
    given = load_as(document, ReadingsFile, "readings")
    rules, method, train = _papers(path, given, document, fleet)
    check = RecordCheck(document, given, method, rules, train)
    trace = None
    if given.recorder is not None:
        trace = read_recorder(path.parent / given.recorder.file, given.recorder, check.began_s())
    record = record_of(check, expected or {}, at, trace)
    check.finish(record.entries)
    return JudgedReadings(document, given, record, judge(record), len(trace.spikes) if trace else 0, train.units or given.units)


def record_of(check: RecordCheck, expected: Mapping[str, tuple[float, float]], at: str = "",
              trace: RecorderTrace | None = None) -> TestRecord:  # fmt: skip
    """The record as it is judged; what cannot be meant is noted in ``check``."""
    given, train = check.given, check.train
    entries = tuple(_from_trace(check.entry(number, line), check.stage(number, line), trace, check, number)
                    for number, line in enumerate(given.readings))  # fmt: skip
    return TestRecord(
        method=check.method, rules=check.rules, train=train.tested, entries=_with_begins(entries, check.method, trace),
        began_k=_kelvin(given.temperature_began_c), ended_k=_kelvin(given.temperature_ended_c),
        earlier_ended_s=check.earlier_s(), expected_bar=expected, touches=check.touches(), path=train.path,
        asked=check.asked(), asked_for=at,
    )  # fmt: skip


def _kelvin(celsius: float | None) -> float | None:
    return None if celsius is None else celsius + KELVIN


def _papers(path: Path, given: ReadingsFile, document: Document, fleet: Fleet) -> tuple[LocalRules, BrakeTestMethod, TrainOfTest]:
    """Rules with the method's own limits, the method, the train."""
    beside, in_use = path.parent, given.electric_brake_in_use
    if given.job is not None:
        named = None if given.method is None else str(method_path(given.method, beside))
        papers = load_job(job_path(given.job, beside, document), named)
        return papers.rules, papers.method, train_of_job(papers, fleet, in_use)
    assert given.train is not None and given.method is not None and given.local_rules is not None
    method = load_test_method(method_path(given.method, beside))
    rules = load_rules_beside(given.local_rules, beside)
    lacking = rules.lacks_for(method)
    if lacking:
        expected = f"{' and '.join(lacking)} under limits of {rules.name} or of the method"
        raise ContentError([Fault("no limit for the method", document.name, document.line_of(("method",)), "method",
                                  given.method, expected)])  # fmt: skip
    return rules.using(method), method, train_given(given.train, method, in_use)


ZERO_OFF_BAR = 0.05
"""A recorder's zero may lie so far below nothing [bar] and is read as nothing (common practice, no source)."""


def _from_trace(entry: Entry, stage: Stage | None, trace: RecorderTrace | None, check: RecordCheck, number: int) -> Entry:
    """An entry without a figure, of a stage that reads one, filled from the recorder."""
    if stage is None or stage.reading is None or entry.is_read or trace is None:
        return entry
    value = trace.at((entry.at, entry.reads), entry.when_s)
    if value is None:
        what = f"the recorder has nothing of the {entry.reads} at the {entry.at} then"
        check.fault(what, ("readings", number, "time"), check.given.readings[number].time, "a moment without a gap, on its clock")
        return entry
    value = 0.0 if -ZERO_OFF_BAR <= value < 0.0 else value
    return replace(entry, value=value, given=round(value, 3), unit="bar" if "brake" in entry.reads else "l/min")


def _with_begins(entries: tuple[Entry, ...], method: BrakeTestMethod, trace: RecorderTrace | None) -> tuple[Entry, ...]:
    """Changes taken from a recorder begin where the stage before ended."""
    if trace is None:
        return entries
    found = list(entries)
    for number, entry in enumerate(entries[1:], start=1):
        is_first = entries[number - 1].stage != entry.stage
        if entry.value is not None and entry.before_bar is None and is_first:
            begun = trace.at((entry.at, entry.reads), entries[number - 1].when_s)
            stage = next((stage for stage in method.stages if stage.key == entry.stage), None)
            changes = stage is not None and stage.reading is not None and stage.reading.limit in (
                "rise_at_most_bar", "leak_at_most_bar_per_min", "cylinder_fall_at_most_bar")  # fmt: skip
            if changes and begun is not None:
                found[number] = replace(entry, before_bar=begun)
    return tuple(found)
