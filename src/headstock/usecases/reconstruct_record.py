"""An investigator asks: which states of this train explain what the recorder kept, and which do not?

What explains a record need not be what happened: other causes than those tried can leave the same trace.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from headstock.base.errors import Fault, InputError
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.forecast import TrainUnderTest, stage_spans
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.reconstruct import Reconstruction, reconstruct
from headstock.brake_test.record_model import Recorded, RecordModel
from headstock.brake_test.recorder import Channel, RecorderTrace
from headstock.brake_test.signatures import Runs
from headstock.equipment.library import Fleet
from headstock.formation.train_air import train_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, DrawnTests, load_drawn_tests
from headstock.physics.air_run import AirEngine
from headstock.usecases.forecast_job import tested_by
from headstock.usecases.judge_readings import JudgedReadings, ReadRecorder, judge_readings
from headstock.usecases.readings_file import RecorderGiven
from headstock.usecases.record_moves import Move, given_moves, moves_of_test

NOT_WHAT_HAPPENED = (
    "This says what explains the record, never what happened: causes that were not tried can leave the same trace."
)
STEP_S, MOST_MOMENTS = 1.0, 600
LEAST_MOMENTS = 20


@dataclass(frozen=True)
class RecordSearched:
    """The record with its train and moves, and what explains it. ``notes``: what was left out or is to be known."""

    judged: JudgedReadings
    drawn: DrawnTests
    model: RecordModel
    moves: tuple[Move, ...]
    result: Reconstruction
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordAsked:
    """The record's file, moves given apart from it ("HH:MM:SS KEY=VALUE"; none: those of the test), own ranges."""

    readings: Path
    moved: tuple[str, ...] = ()
    drawn: Path | None = None


def reconstruct_record(
    asked: RecordAsked, fleet: Fleet, engine: AirEngine, runs: Runs, read_recorder: ReadRecorder
) -> RecordSearched:
    """Search what explains a record. Raises InputError for one that cannot be meant or has nothing to be explained by."""
    traces: list[RecorderTrace] = []

    def reading(path: Path, given: RecorderGiven, began_s: float | None) -> RecorderTrace:
        traces.append(read_recorder(path, given, began_s))
        return traces[-1]

    judged = judge_readings(asked.readings, fleet, reading)
    document, job = judged.document, judged.job_to_search(asked.readings.parent)
    if not traces:
        fault = Fault("no recorder in the record", document.name, None, "recorder", expected="recorder: its file and columns")
        raise InputError(fault, cure="Readings alone are searched by headstock find.")
    tested = tested_by(job, fleet, engine, judged.given.method, asked.readings.parent)
    if tested is None:
        fault = Fault("the job has no order of work, so its train is not known", document.name, document.line_of(("job",)),
                      "job", judged.job)  # fmt: skip
        raise InputError(fault, cure="Ask headstock plan for the reasons.")
    moves = given_moves(tested, document, asked.moved) if asked.moved else moves_of_test(tested, judged, document)
    trace, drawn = traces[0], load_drawn_tests(asked.drawn or DEMONSTRATION)
    until_s = trace.t_s[-1] if asked.moved else judged.record.entries[-1].when_s
    recorded, left_out = _recorded(trace, moves[0].when_s, until_s, document.name)
    model = RecordModel(_air(tested, moves, recorded), drawn, recorded, runs)
    notes = (*left_out, *(f"{refusal.what}. {refusal.cure}" for refusal in judged.judgement.refusals))
    return RecordSearched(judged, drawn, model, moves, reconstruct(model), notes)


def _recorded(trace: RecorderTrace, begins_s: float, until_s: float, name: str) -> tuple[Recorded, tuple[str, ...]]:
    """The samples from the first move on, evenly; what the air of the brake pipe says nothing about is left out, and said."""
    channels = tuple(channel for channel in trace.values if channel[1] in ("brake pipe", "brake cylinder"))
    if not channels:
        fault = Fault("no column of the brake pipe or of a brake cylinder", name, None, "recorder.channels",
                      expected="a channel that reads brake pipe")  # fmt: skip
        raise InputError(fault, cure="Name the columns of the pressures.")
    length_s = min(until_s, trace.t_s[-1]) - begins_s
    count = min(MOST_MOMENTS, int(length_s / STEP_S) + 1)
    if count < LEAST_MOMENTS:
        fault = Fault("the recorder kept next to nothing after the first move", name, None, "recorder",
                      f"{max(length_s, 0.0):.0f} s", f"{LEAST_MOMENTS:g} s or more on the readers' clock")  # fmt: skip
        raise InputError(fault, cure="Look at clock_offset_s and began: do both clocks agree?")
    t_s = np.linspace(0.0, length_s, count)
    bar = np.array([[_value(trace, channel, begins_s + at) for channel in channels] for at in t_s.tolist()])
    empty = [channel for number, channel in enumerate(channels) if not np.isfinite(bar[:, number]).any()]
    if empty or np.isfinite(bar).mean() < 0.5:
        fault = Fault("more gaps than samples after the first move", name, None, "recorder", expected="samples for half the time")
        raise InputError(
            fault, cure="Do both clocks agree (began, clock_offset_s)? Over gaps longer than longest_gap_s nothing is drawn."
        )
    return Recorded(t_s, channels, bar), tuple(_left_out(trace, channels, float(np.isfinite(bar).mean())))


def _value(trace: RecorderTrace, channel: Channel, when_s: float) -> float:
    value = trace.at(channel, when_s)
    return float("nan") if value is None else value


def _left_out(trace: RecorderTrace, channels: Sequence[Channel], share: float) -> list[str]:
    other = [f"{reads} at the {at}" for at, reads in trace.values if (at, reads) not in channels]
    notes = [f"not used: {', '.join(other)}"] if other else []
    if trace.spikes:
        notes.append(f"{len(trace.spikes)} lone spikes of the recorder were left out")
    if share < 1.0:
        notes.append(f"gaps: {1 - share:.0%} of the time nothing was recorded, and nothing is drawn over it")
    return notes


def _air(tested: TrainUnderTest, moves: Sequence[Move], recorded: Recorded) -> AirUnderTest:
    """The train with what was moved when, in place of the method's stages."""
    begins_s = [move.when_s - moves[0].when_s for move in moves]
    ends_s = [*begins_s[1:], max(float(recorded.t_s[-1]), begins_s[-1]) + 5.0]
    spans = tuple(
        StageSpan(move.says, move.says, "front", begins, ends) for move, begins, ends in zip(moves, begins_s, ends_s, strict=True)
    )
    air = AirUnderTest(tested, train_air_of(tested.train, tested.outside_pa), stage_spans(tested))
    return replace(air, spans=spans, given_moves=tuple(dict(move.values) for move in moves))
