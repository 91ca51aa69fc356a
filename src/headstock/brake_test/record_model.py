"""A record of pressures beside the model that is to explain it: what a train with some causes would have had recorded.

What differs from one healthy train to another is fitted within its ranges, and so is a clock that is a little off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from headstock.base.conversion import BAR_PA
from headstock.brake_test.air_under_test import AirUnderTest, Drawn
from headstock.brake_test.causes import Cause
from headstock.brake_test.drawing import middle
from headstock.brake_test.drawn_run import drawn_run
from headstock.brake_test.forecast_reading import SETTLING_S
from headstock.brake_test.recorder import Channel
from headstock.brake_test.signatures import Floats, Runs
from headstock.local_rules.drawn_tests import DrawnTests, Range
from headstock.physics.air_run import AirRun
from headstock.physics.pipe_network import Probe

SIGMA_BAR = 0.04
"""Recorder and reckoning together are off by so much [bar, standard deviation] (our choice; no source)."""
CLOCK_S = 1.0
"""When something was moved is known to so much [s, standard deviation]: written to the second (our choice; no source)."""
APART_S = 10.0
"""Samples nearer to one another than this tell nothing new: what is off stays off for a while [s] (our choice; no source)."""
NEAR = 2
"""Samples to either side over which the steepest slope counts."""
TRAIN = ("leak", "set pressure", "pipe before", "clock")
"""What is fitted of every train: -1 to 1 over its range; of the clock seconds."""


@dataclass(frozen=True)
class Recorded:
    """Samples [bar, gauge] (moments, channels) at times [s after the first move]; nan in gaps and where spikes were left out."""

    t_s: Floats
    channels: tuple[Channel, ...]
    bar: Floats

    @cached_property
    def sigma_bar(self) -> Floats:
        """How far each sample may be off (moments, channels): in a steep fall a second early or late is much."""
        slope = np.abs(np.gradient(self.bar, self.t_s, axis=0))
        slope = np.nan_to_num(slope, nan=0.0)
        steepest = slope.copy()
        for step in range(1, NEAR + 1):
            steepest[step:] = np.maximum(steepest[step:], slope[:-step])
            steepest[:-step] = np.maximum(steepest[:-step], slope[step:])
        return np.asarray(np.sqrt(SIGMA_BAR**2 + (CLOCK_S * steepest) ** 2))

    @cached_property
    def weight(self) -> float:
        """How much a sample tells [-]: less than a whole one where samples lie close."""
        return min(1.0, float(np.median(np.diff(self.t_s))) / APART_S)

    @cached_property
    def count(self) -> float:
        """How many samples these are worth [-]."""
        return float(np.isfinite(self.bar).sum()) * self.weight


@dataclass(frozen=True, slots=True)
class Tried:
    """Causes with their degrees, and what is fitted of the train (see ``TRAIN``)."""

    causes: tuple[Cause, ...]
    train: tuple[float, ...] = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class RecordModel:
    """A train whose moves are known, from what it is drawn, and the record. ``runs``: who answers runs."""

    air: AirUnderTest
    drawn: DrawnTests
    recorded: Recorded
    runs: Runs

    def simulated(self, tried: Sequence[Tried]) -> Floats:
        """What would have been recorded (tried, moments, channels) [bar, gauge]."""
        asked = [self._run(one) for one in tried]
        outside_pa = self.air.tested.outside_pa
        found = []
        for one, trace in zip(tried, self.runs(asked), strict=True):
            at_s = self.recorded.t_s + SETTLING_S + one.train[3]
            bar = (trace.readings_pa - outside_pa) / BAR_PA
            found.append(np.stack([np.interp(at_s, trace.t_s, bar[:, number]) for number in range(bar.shape[1])], axis=1))
        return np.array(found)

    def residuals(self, simulated: Floats) -> Floats:
        """Recorded less simulated in standard errors (..., moments, channels); nan where nothing was recorded."""
        return np.asarray((self.recorded.bar - simulated) / self.recorded.sigma_bar)

    def _run(self, tried: Tried) -> AirRun:
        run = drawn_run(self.air, self.air.spans, tried.causes, self._train(tried.train))
        return replace(run, probes=self.probes)

    def _train(self, fitted: Sequence[float]) -> Drawn:
        healthy = self.drawn.healthy
        return replace(
            middle(self.air, self.drawn),
            leak_bar_per_min=max(0.0, _within(healthy.leak_share_of_limit, fitted[0])) * healthy.leak_limit_bar_per_min,
            set_error_bar=_within(healthy.set_pressure_error_bar, fitted[1]),
            pipe_error_bar=_within(healthy.pipe_before_error_bar, fitted[2]),
        )

    @cached_property
    def probes(self) -> tuple[Probe, ...]:
        """Where each channel was taken: the pipe at a cab, the brake cylinder of that cab's vehicle."""
        return tuple(self._probe(channel) for channel in self.recorded.channels)

    def _probe(self, channel: Channel) -> Probe:
        tested, air = self.air.tested, self.air.air
        end = tested.front if channel[0] == "front" else tested.rear
        if channel[1] == "brake pipe":
            return Probe("valve", air.valves.index(tested.train.cab_valve(end)[0].key()))
        unit = tested.train.unit(end.unit)
        vehicle = unit.vehicle_name(unit.end_spec(end.end).vehicle)
        return Probe("brake cylinder", list(air.gear.distributors).index(vehicle))


def _within(over: Range, share: float) -> float:
    """From the low end (-1) to the high one (1)."""
    return over.low + (over.high - over.low) * (share + 1.0) / 2.0
