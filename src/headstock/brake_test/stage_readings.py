"""The readings of a method that the air engine can say something about, and what one run of it reads, stage by stage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from headstock.brake_test.flow_reading import flow_l_per_min
from headstock.brake_test.forecast_reading import (
    BRAKES_READ,
    FORECAST,
    GAUGES,
    SETTLING_S,
    StageSpan,
    cylinder_bar,
    share_of_brakes,
    shown_bar,
)
from headstock.brake_test.probes import ENDS, supply_column, valve_number
from headstock.brake_test.reading_verdict import FLOORS, SAME
from headstock.brake_test.running_reading import AS_STATED, OnTheLine, cylinders_in_order, speed_fall_kmh
from headstock.formation.train_air import TrainAir
from headstock.local_rules.method_stage import CHANGES, End, Reads
from headstock.local_rules.test_limits import Limit
from headstock.local_rules.test_method import Reading, Stage
from headstock.physics.air_run import AirRun, AirTrace

if TYPE_CHECKING:
    from headstock.brake_test.forecast import TrainUnderTest

SPEED_SAMPLE_S = 0.25
DIFFERENCES: frozenset[Limit] = CHANGES | {"below_set_at_most_bar"}
"""Limits on a difference or a rate: what is held against them is not what a gauge shows."""


@dataclass(frozen=True, slots=True)
class ReadingPlace:
    """One reading of a method that the air engine can say something about: its stage, where, its limit.

    ``limit_bar`` and what is held against it: bar, of brakes counted a share, of a flow l/min, of a speed km/h.
    ``applies``: a floor above what the train is ever charged to decides nothing, as where readings are judged.
    """

    stage: str
    name: str
    at: End
    limit: Limit
    limit_bar: float
    is_count: bool
    applies: bool = True
    reads: Reads = "brake pipe"

    @property
    def is_change(self) -> bool:
        """Whether it is how far something moved, not what stands."""
        return self.limit in CHANGES

    @property
    def is_gauge(self) -> bool:
        """Whether it is read on a pressure gauge."""
        return self.reads in ("brake pipe", "brake cylinder")


@dataclass(frozen=True, slots=True)
class TestRun:
    """One run of a test: its stages, what it showed, what was asked of the engine (a flow needs it), how it was on the line."""

    __test__ = False

    spans: Sequence[StageSpan]
    trace: AirTrace
    asked: AirRun | None = None
    line: OnTheLine = AS_STATED


def reading_places(tested: TrainUnderTest) -> tuple[ReadingPlace, ...]:
    """The readings in order."""
    return tuple(reading_place(tested, stage) for stage in tested.method.stages if is_reckoned(stage.reading))


def is_reckoned(reading: Reading | None) -> bool:
    """Whether the air engine can say something about a stage's reading."""
    return reading is not None and reading.limit is not None and reading.reads in FORECAST


def reading_place(tested: TrainUnderTest, stage: Stage) -> ReadingPlace:
    """The reading of a stage that has one with a limit."""
    reading = stage.reading
    assert reading is not None and reading.limit is not None
    limit_value = tested.rules.limit_read(reading.limit)
    applies = reading.limit not in FLOORS or limit_value <= tested.set_bar + SAME
    is_count = reading.reads in BRAKES_READ
    return ReadingPlace(stage.key, reading.name, reading.at, reading.limit, limit_value, is_count, applies, reading.reads)


def values_read(tested: TrainUnderTest, air: TrainAir, run: TestRun) -> list[float]:
    """What one run reads, in the order of ``reading_places``, before any gauge error, in the unit of ``limit_bar``."""
    return [value_read(tested, air, run, stage) for stage in tested.method.stages if is_reckoned(stage.reading)]


def value_read(tested: TrainUnderTest, air: TrainAir, run: TestRun, stage: Stage) -> float:
    """What the reading of one stage, which has one with a limit, reads in one run, in the unit of that limit."""
    reading, span, trace = stage.reading, next(span for span in run.spans if span.key == stage.key), run.trace
    assert reading is not None and reading.limit is not None
    if reading.reads == "brake pipe":
        return shown_bar(trace, run.spans, tested.method, span, reading.limit, tested.set_bar, tested.outside_pa)
    if reading.reads == "flow":
        return _flow_l_per_min(tested, air, run, reading.at, SETTLING_S + span.ends_s)
    if reading.reads == "speed":
        return _speed_fall_kmh(tested, air, run, span)
    if reading.reads == "brake cylinder":
        return cylinder_bar(trace, brake_of_cab(tested, air, reading.at), span, reading.limit, tested.outside_pa)
    return share_of_brakes(trace, read_brakes(tested, air, reading), span, reading.reads, tested.outside_pa)


def _flow_l_per_min(tested: TrainUnderTest, air: TrainAir, run: TestRun, at: End, at_s: float) -> float:
    assert run.asked is not None
    valve = valve_number(tested, air, at), ENDS.index(at)
    return flow_l_per_min(run.asked, run.trace, valve, supply_column(tested, air, at), at_s)


def _speed_fall_kmh(tested: TrainUnderTest, air: TrainAir, run: TestRun, span: StageSpan) -> float:
    """From when the brake was called for last; the local rules say from which speed."""
    figures = tested.rules.running_test
    assert figures is not None
    began_s = _braked_from_s(tested, run.spans, span)
    samples = 1 + max(1, round((span.ends_s - began_s) / SPEED_SAMPLE_S))
    at_s, sample_s = np.linspace(began_s, span.ends_s, samples, retstep=True)
    brakes = range(len(air.gear.distributors))
    gauge_pa = np.stack(
        [np.interp(SETTLING_S + at_s, run.trace.t_s, run.trace.readings_pa[:, GAUGES + n]) - tested.outside_pa for n in brakes],
        axis=1,
    )
    cylinder_pa = cylinders_in_order(tested.train, tuple(air.gear.distributors), gauge_pa)
    return speed_fall_kmh(tested.train, cylinder_pa, float(sample_s), figures.from_kmh.value, run.line)


def _braked_from_s(tested: TrainUnderTest, spans: Sequence[StageSpan], span: StageSpan) -> float:
    """When the brake was called for, last before the end of a stage [s]; without a call the stage's own beginning."""
    found = span.begins_s
    for here, stage in zip(spans, tested.method.stages, strict=True):
        if (stage.valve is not None and stage.valve.before == "running") or stage.electric == "apply":
            found = here.begins_s
        if here.key == span.key:
            break
    return found


def read_brakes(tested: TrainUnderTest, air: TrainAir, reading: Reading) -> tuple[int, ...]:
    """Numbers of the brakes that a count is made of: all, or that of the last vehicle."""
    vehicles = tuple(air.gear.distributors)
    if reading.counts == "all":
        return tuple(range(len(vehicles)))
    last = _vehicle_of_cab(tested, "rear")
    return tuple(number for number, vehicle in enumerate(vehicles) if vehicle == last)


def brake_of_cab(tested: TrainUnderTest, air: TrainAir, at: End) -> int:
    """Number of the brake whose cylinder the gauge of a cab shows: that of the cab's own vehicle."""
    return list(air.gear.distributors).index(_vehicle_of_cab(tested, at))


def _vehicle_of_cab(tested: TrainUnderTest, at: End) -> str:
    end = tested.front if at == "front" else tested.rear
    unit = tested.train.unit(end.unit)
    return unit.vehicle_name(unit.end_spec(end.end).vehicle)
