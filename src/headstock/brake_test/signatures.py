"""What a test reads under each cause: drawn tests run through the air engine, read stage by stage.

Faults of a gauge or of its reader are put on the readings, not on the air. A draw is reckoned with by its number, so that a
piece of the work gives the same figures whoever does it and whenever.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.causes import Cause
from headstock.brake_test.drawing import draw
from headstock.brake_test.drawn_run import AirUnderTest, drawn_run, longer_spans
from headstock.brake_test.forecast import TrainUnderTest, read_brakes
from headstock.brake_test.forecast_reading import FORECAST, StageSpan, share_of_brakes, shown_bar
from headstock.formation.air_charge import main_bar_of
from headstock.local_rules.drawn_tests import DrawnTests
from headstock.local_rules.limit_figures import is_share, is_within
from headstock.local_rules.method_stage import CHANGES, End
from headstock.local_rules.test_limits import Limit
from headstock.local_rules.test_method import Reading, Stage
from headstock.physics.air_run import AirRun, AirTrace

Floats = NDArray[np.float64]
Runs = Callable[[Sequence[AirRun]], Sequence[AirTrace]]
READING_FAULTS = ("wrong gauge read", "gauge stuck", "gauge off")


@dataclass(frozen=True, slots=True)
class ReadingPlace:
    """One reading of a method that the air engine can say something about: its number in the test, where, its limit."""

    stage: str
    name: str
    at: End
    limit: Limit
    limit_bar: float
    is_count: bool

    @property
    def is_change(self) -> bool:
        """Whether it is how far something moved, not what stands."""
        return self.limit in CHANGES


@dataclass(frozen=True, slots=True)
class Scenario:
    """Causes that are there together, and the number of the draw."""

    causes: tuple[Cause, ...]
    draw: int


def reading_places(tested: TrainUnderTest) -> tuple[ReadingPlace, ...]:
    """The readings in order."""
    found = []
    for stage, reading, limit in _read(tested):
        limit_value = tested.rules.limit(limit) if is_share(limit) else tested.rules.limit_bar(limit)
        found.append(ReadingPlace(stage.key, reading.name, reading.at, limit, limit_value, reading.reads != "brake pipe"))
    return tuple(found)


def _read(tested: TrainUnderTest) -> list[tuple[Stage, Reading, Limit]]:
    return [
        (stage, stage.reading, stage.reading.limit) for stage in tested.method.stages
        if stage.reading is not None and stage.reading.limit is not None and stage.reading.reads in FORECAST
    ]  # fmt: skip


def readings_of(air: AirUnderTest, drawn: DrawnTests, scenarios: Sequence[Scenario], seed: int, runs: Runs) -> Floats:
    """True readings, before any gauge error, of each scenario (scenarios, readings) [bar; a count: share of brakes]."""
    draws = [draw(air, drawn, seed, scenario.draw) for scenario in scenarios]
    longer = [longer_spans(air.spans, one) for one in draws]
    asked = [
        drawn_run(air, own, _in_the_air(scenario.causes), one)
        for scenario, one, own in zip(scenarios, draws, longer, strict=True)
    ]
    rows = [_row(air, trace, own) for trace, own in zip(runs(asked), longer, strict=True)]
    places = reading_places(air.tested)
    found = np.array(rows).reshape(len(scenarios), len(places))
    for number, scenario in enumerate(scenarios):
        for cause in scenario.causes:
            if cause.kind in READING_FAULTS:
                found[number] = _misread(air.tested, places, found[number], cause)
    return found


def _in_the_air(causes: Sequence[Cause]) -> tuple[Cause, ...]:
    return tuple(cause for cause in causes if cause.kind not in READING_FAULTS)


def _row(air: AirUnderTest, trace: AirTrace, spans: Sequence[StageSpan]) -> list[float]:
    tested = air.tested
    by_key = {span.key: span for span in spans}
    set_bar = tested.train.cab_valve(tested.front)[1].set_pressure_bar
    row = []
    for stage, reading, limit in _read(tested):
        span = by_key[stage.key]
        if reading.reads == "brake pipe":
            row.append(shown_bar(trace, spans, tested.method, span, limit, set_bar, tested.outside_pa))
        else:
            brakes = read_brakes(tested, air.air, reading)
            row.append(share_of_brakes(trace, brakes, span, reading.reads, tested.outside_pa))
    return row


def _misread(tested: TrainUnderTest, places: Sequence[ReadingPlace], row: Floats, cause: Cause) -> Floats:
    """What people read where a gauge or its reader is at fault."""
    found = row.copy()
    here = [n for n, place in enumerate(places) if place.at == cause.place and not place.is_count]
    set_bar = tested.train.cab_valve(tested.front)[1].set_pressure_bar
    stuck_bar = None
    for number in here:
        place = places[number]
        below_set = place.limit == "below_set_at_most_bar"
        if cause.kind == "gauge off":
            found[number] += 0.0 if place.is_change else (-cause.severity if below_set else cause.severity)
        elif cause.kind == "wrong gauge read":
            end = tested.front if place.at == "front" else tested.rear
            shows_bar = main_bar_of(tested.train.unit(end.unit))
            found[number] = 0.0 if place.is_change else (set_bar - shows_bar if below_set else shows_bar)
        elif place.is_change:
            found[number] = 0.0
        else:
            stuck_bar = found[number] if stuck_bar is None else stuck_bar
            found[number] = stuck_bar
    return found


def outside_limits(places: Sequence[ReadingPlace], readings: Floats) -> NDArray[np.bool_]:
    """Which readings are not within their limits (as ``readings``)."""
    columns = [
        [not is_within(float(value), place.limit_bar, place.limit) for value in readings[:, number]]
        for number, place in enumerate(places)
    ]
    return np.array(columns, dtype=bool).reshape(len(places), len(readings)).T


def readings_row(air: AirUnderTest, trace: AirTrace, spans: Sequence[StageSpan]) -> list[float]:
    """What one run reads, stage by stage, before any gauge error."""
    return _row(air, trace, spans)
