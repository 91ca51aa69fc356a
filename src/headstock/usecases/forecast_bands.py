"""The band of a test's forecast: how far healthy trains and tests differ, from ranges that are data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.band_task import MEMBERS, BandTask
from headstock.brake_test.forecast import TrainUnderTest, stage_spans
from headstock.brake_test.forecast_band import ForecastBand, band_of
from headstock.formation.train_air import train_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, load_drawn_tests

DrawnValues = Callable[[BandTask], NDArray[np.float64]]
"""Whoever draws the trains of a task and runs them."""


@dataclass(frozen=True, slots=True)
class BandAsked:
    """How many trains are drawn, from which file of ranges (none: the built-in one), and who runs them."""

    values: DrawnValues
    members: int = MEMBERS
    drawn: Path | None = None


def band_of_test(tested: TrainUnderTest, asked: BandAsked) -> ForecastBand:
    """The band of a train's test. Raises InputError for ranges that cannot be read."""
    ranges = load_drawn_tests(asked.drawn or DEMONSTRATION)
    air = AirUnderTest(tested, train_air_of(tested.train, tested.outside_pa), stage_spans(tested))
    task = BandTask(air, ranges, asked.members)
    return band_of(task, asked.values(task))
