"""What a test reads under each cause: drawn tests run through the air engine, read stage by stage.

Faults of a gauge or of its reader are put on the readings, not on the air. A draw is reckoned with by its number, so that a
piece of the work gives the same figures whoever does it and whenever.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import Cause
from headstock.brake_test.drawing import draw
from headstock.brake_test.drawn_run import drawn_run, longer_spans
from headstock.brake_test.fault_acts import READING_FAULTS, in_the_air, unrest
from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.stage_readings import ReadingPlace, TestRun, reading_places, values_read
from headstock.formation.air_charge import main_bar_of
from headstock.local_rules.drawn_tests import DrawnTests
from headstock.local_rules.limit_figures import is_at_most
from headstock.physics.air_run import AirRun, AirTrace

Floats = NDArray[np.float64]
Runs = Callable[[Sequence[AirRun]], Sequence[AirTrace]]
AT_A_TIME = 128
"""So many whole traces are held at once; of the others only what is read stays."""


@dataclass(frozen=True, slots=True)
class Scenario:
    """Causes that are there together, and the number of the draw."""

    causes: tuple[Cause, ...]
    draw: int


def readings_of(air: AirUnderTest, drawn: DrawnTests, scenarios: Sequence[Scenario], seed: int, runs: Runs) -> Floats:
    """True readings, before any gauge error, of each scenario (scenarios, readings), in the units of their limits.

    What is the same to the air is run once; like runs are run one after another, so that they share the engine's blocks.
    """
    same_air = [Scenario(in_the_air(one.causes), one.draw) for one in scenarios]
    to_run = sorted(
        set(same_air), key=lambda one: (unrest(one.causes), [cause.kind for cause in one.causes], one.draw, repr(one.causes))
    )
    draws = {number: draw(air, drawn, seed, number) for number in {scenario.draw for scenario in scenarios}}
    longer = {number: longer_spans(air.spans, one) for number, one in draws.items()}
    read: dict[Scenario, Floats] = {}
    for first in range(0, len(to_run), AT_A_TIME):
        some = to_run[first : first + AT_A_TIME]
        asked = [drawn_run(air, longer[one.draw], one.causes, draws[one.draw]) for one in some]
        for one, own, trace in zip(some, asked, runs(asked), strict=True):
            run = TestRun(longer[one.draw], trace, own, draws[one.draw].line)
            read[one] = np.array(values_read(air.tested, air.air, run))
    places = reading_places(air.tested)
    found = np.zeros((len(scenarios), len(places)))
    for number, (scenario, one) in enumerate(zip(scenarios, same_air, strict=True)):
        found[number] = read[one]
        for cause in scenario.causes:
            if cause.kind in READING_FAULTS:
                found[number] = _misread(air.tested, places, found[number], cause)
    return found


def _misread(tested: TrainUnderTest, places: Sequence[ReadingPlace], row: Floats, cause: Cause) -> Floats:
    """What people read where a gauge or its reader is at fault; a gauge is stuck where it stood when all was charged."""
    found = row.copy()
    set_bar = tested.set_bar
    end = tested.front if cause.place == "front" else tested.rear
    main_bar = 0.0 if end.unit in tested.without_air else main_bar_of(tested.train.unit(end.unit))
    shows_bar = set_bar if cause.kind == "gauge stuck" else main_bar
    for number, place in enumerate(places):
        if place.at != cause.place or place.reads != "brake pipe":
            continue
        below_set = place.limit == "below_set_at_most_bar"
        if cause.kind == "gauge off":
            found[number] += 0.0 if place.is_change else (-cause.severity if below_set else cause.severity)
        else:
            found[number] = 0.0 if place.is_change else (set_bar - shows_bar if below_set else shows_bar)
    return found


def outside_limits(places: Sequence[ReadingPlace], readings: Floats) -> NDArray[np.bool_]:
    """Which readings are not within their limits (as ``readings``)."""
    columns = [beyond(place, readings[:, number], place.limit_bar) for number, place in enumerate(places)]
    return np.array(columns, dtype=bool).reshape(len(places), len(readings)).T


def beyond(place: ReadingPlace, read: Floats, limit_bar: float) -> NDArray[np.bool_]:
    """Which readings of one place (any shape) are not within a limit; where nothing can be read, none is within."""
    if not place.applies:
        return np.zeros(read.shape, dtype=bool)
    return ~np.asarray(read <= limit_bar if is_at_most(place.limit) else read >= limit_bar)
