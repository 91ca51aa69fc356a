"""The readings of a method that the air engine can say something about, and what one run of it reads, stage by stage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from headstock.brake_test.forecast_reading import BRAKES_READ, FORECAST, StageSpan, cylinder_bar, share_of_brakes, shown_bar
from headstock.brake_test.reading_verdict import FLOORS, SAME
from headstock.formation.train_air import TrainAir
from headstock.local_rules.method_stage import CHANGES, End, Reads
from headstock.local_rules.test_limits import Limit
from headstock.local_rules.test_method import Reading, Stage
from headstock.physics.air_run import AirTrace

if TYPE_CHECKING:
    from headstock.brake_test.forecast import TrainUnderTest

DIFFERENCES: frozenset[Limit] = CHANGES | {"below_set_at_most_bar"}
"""Limits on a difference or a rate: what is held against them is not what a gauge shows."""


@dataclass(frozen=True, slots=True)
class ReadingPlace:
    """One reading of a method that the air engine can say something about: its stage, where, its limit.

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
    applies = reading.limit not in FLOORS or limit_value <= set_bar_of(tested) + SAME
    is_count = reading.reads in BRAKES_READ
    return ReadingPlace(stage.key, reading.name, reading.at, reading.limit, limit_value, is_count, applies, reading.reads)


def values_read(tested: TrainUnderTest, air: TrainAir, spans: Sequence[StageSpan], trace: AirTrace) -> list[float]:
    """What one run reads, in the order of ``reading_places``, before any gauge error [bar; a count: share of brakes]."""
    return [value_read(tested, air, spans, trace, stage) for stage in tested.method.stages if is_reckoned(stage.reading)]


def value_read(tested: TrainUnderTest, air: TrainAir, spans: Sequence[StageSpan], trace: AirTrace, stage: Stage) -> float:
    """What the reading of one stage, which has one with a limit, reads in one run [bar; a count: share of brakes]."""
    reading, span = stage.reading, next(span for span in spans if span.key == stage.key)
    assert reading is not None and reading.limit is not None
    if reading.reads == "brake pipe":
        return shown_bar(trace, spans, tested.method, span, reading.limit, set_bar_of(tested), tested.outside_pa)
    if reading.reads == "brake cylinder":
        return cylinder_bar(trace, brake_of_cab(tested, air, reading.at), span, reading.limit, tested.outside_pa)
    return share_of_brakes(trace, read_brakes(tested, air, reading), span, reading.reads, tested.outside_pa)


def set_bar_of(tested: TrainUnderTest) -> float:
    """What the leading valve feeds to [bar]."""
    return tested.train.cab_valve(tested.front)[1].set_pressure_bar


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
