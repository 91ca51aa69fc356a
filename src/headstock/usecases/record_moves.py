"""What was moved when, for a reconstruction: from the stages and the touch log of a test, or as the investigator gives it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.located import Document
from headstock.base.nearest import nearest_of
from headstock.brake_test.forecast import TrainUnderTest, moved_by
from headstock.formation.train_state import layout_of
from headstock.local_rules.method_stage import Stage
from headstock.usecases.judge_readings import JudgedReadings
from headstock.usecases.record_times import RecordTimes

TO_THE_SECOND_S = 1.0
EXPECTED = "HH:MM:SS KEY=VALUE, as in 10:06:05 217/2.brake_valve=lap"


@dataclass(frozen=True, slots=True)
class Move:
    """Devices moved at a moment [s, on the readers' clock], and how that is said."""

    when_s: float
    values: Mapping[str, str]
    says: str


def moves_of_test(tested: TrainUnderTest, judged: JudgedReadings, document: Document) -> tuple[Move, ...]:
    """Of each stage that moves something and is on record. Raises ContentError where nobody wrote when."""
    found, faults = list[Move](), list[Fault]()
    for stage in tested.method.stages:
        values = moved_by(tested, stage)
        if not values or not judged.record.of_stage(stage.key):
            continue
        when_s, line = _moved_at(judged, stage)
        if when_s is None:
            faults.append(Fault(f"when {stage.key} was moved is not on record to the second", document.name, line or None,
                                "readings", expected="its line, or its touch with part_of, with a time as HH:MM:SS"))  # fmt: skip
        else:
            found.append(Move(when_s, values, stage.key))
    if not faults and not found:
        faults.append(
            Fault("nothing was moved on record", document.name, None, "readings", expected="a stage that moves a valve")
        )
    if faults:
        raise ContentError(faults, cure="A reconstruction hangs on when things were moved: write it, or give --moved.")
    return tuple(sorted(found, key=lambda move: move.when_s))


def _moved_at(judged: JudgedReadings, stage: Stage) -> tuple[float | None, int]:
    """From the touch that is part of the method, else from the line of the stage if nothing is read at its end."""
    record = judged.record
    names = {touch.name for touch in record.method.exempt_touches if touch.stage == stage.key}
    for touch in record.touches:
        if touch.part_of in names:
            return touch.when_s, touch.line
    lines = record.of_stage(stage.key)
    first = lines[0]
    is_when_moved = stage.reading is None or len(lines) > 1
    if is_when_moved and first.within_s <= TO_THE_SECOND_S:
        return first.when_s, first.line
    return None, first.line


def given_moves(tested: TrainUnderTest, document: Document, written: Sequence[str]) -> tuple[Move, ...]:
    """As given: "HH:MM:SS KEY=VALUE,KEY=VALUE". Raises InputError for what cannot be meant."""
    domains = {variable.key: variable.domain for variable in layout_of(tested.train).variables}
    times = RecordTimes(document, {})
    found = []
    for one in written:
        time, _, said = one.strip().rpartition(" ")
        values = dict(_change(part, one, domains) for part in said.split(","))
        when_s, within_s = times.seconds(time, (), None)
        if times.faults or within_s > TO_THE_SECOND_S:
            raise InputError(Fault("time not understood", path="--moved", found=one, expected=EXPECTED),
                             cure="Give each move with its second.")  # fmt: skip
        found.append(Move(when_s, values, " and ".join(f"{key} to {value}" for key, value in values.items())))
    return tuple(sorted(found, key=lambda move: move.when_s))


def _change(written: str, whole: str, domains: Mapping[str, Sequence[str]]) -> tuple[str, str]:
    key, equals, value = (part.strip() for part in written.partition("="))
    if not equals or key not in domains:
        fault = Fault("unknown device", path="--moved", found=whole, expected=EXPECTED, nearest=nearest_of(key, domains))
        raise InputError(fault, cure="Name the device as the job's file does under as_left.")
    if value not in domains[key]:
        fault = Fault("a state this device does not have", path=f"--moved {key}", found=value,
                      expected=" or ".join(domains[key]), nearest=nearest_of(value, domains[key]))  # fmt: skip
        raise InputError(fault, cure="Give one of the states the device can have.")
    return key, value
