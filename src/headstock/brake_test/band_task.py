"""Healthy trains under their test, drawn and run: what both gauges show along the test, what is read, when a stage is still.

A train that has nothing wrong with it still differs: leaks, temperature, how the valve is set, how far the pipe was charged,
how long people take. Each draw hangs on its number alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import ceil

import numpy as np

from headstock.base.conversion import BAR_PA
from headstock.brake_test.air_under_test import AirUnderTest, Drawn
from headstock.brake_test.drawing import draw
from headstock.brake_test.drawn_run import drawn_run, longer_spans
from headstock.brake_test.forecast_reading import GAUGES, SETTLING_S, StageSpan
from headstock.brake_test.signatures import Floats, Runs
from headstock.brake_test.stage_readings import TestRun, brake_of_cab, reading_places, values_read
from headstock.local_rules.drawn_tests import DrawnTests

MEMBERS = 200
"""Drawn trains where nothing else is asked for."""
STILL_BAR = 0.05
"""A gauge that stays so near to where it ends up is still: a quarter of a mark of 0.2 bar (common practice, no source)."""
STILL_FOR_S = 3.0
"""So long a gauge stands before people call it still (common practice, no source)."""
ENDS: tuple[int, int] = (0, 1)


@dataclass(frozen=True)
class BandTask:
    """What is to be worked out: ``members`` healthy trains drawn from ``drawn``; same seed, same trains."""

    air: AirUnderTest
    drawn: DrawnTests
    members: int = MEMBERS
    seed: int = 1

    @cached_property
    def moments_s(self) -> tuple[float, ...]:
        """Moments of the test [s], about a second apart, each stage's beginning and end among them."""
        found = [0.0]
        for span in self.air.spans:
            pieces = max(1, ceil(span.ends_s - span.begins_s))
            found += np.linspace(span.begins_s, span.ends_s, pieces + 1)[1:].tolist()
        return tuple(found)

    @cached_property
    def key(self) -> str:
        """Digest of all that the answer hangs on, but for the code."""
        tested = self.air.tested
        content = (
            [(unit.name, unit.first_end, unit.unit_type) for unit in tested.train.units], tested.train.joints,
            sorted(tested.values.items()), tested.front, tested.rear, sorted(tested.pipe_bar.items()), tested.method,
            tested.outside_pa, self.air.spans, self.air.air.network, self.air.main_bar, self.drawn.healthy, self.members,
            self.seed, STILL_BAR,
        )  # fmt: skip
        return hashlib.sha256(repr(content).encode()).hexdigest()[:32]

    def draws(self) -> tuple[Drawn, ...]:
        """The trains."""
        return tuple(draw(self.air, self.drawn, self.seed, number) for number in range(self.members))

    def answer(self, runs: Runs) -> Floats:
        """A row a value, a column a train: front gauge, rear gauge [bar] at the moments, readings, when each stage is still [s].

        A stage that is not still before it ends: nan.
        """
        draws = self.draws()
        spans = [longer_spans(self.air.spans, one) for one in draws]
        asked = [drawn_run(self.air, own, (), one) for own, one in zip(spans, draws, strict=True)]
        shown = [
            TestRun(own, trace, run, one.line) for own, trace, run, one in zip(spans, runs(asked), asked, draws, strict=True)
        ]
        return np.array([self._column(run) for run in shown]).T

    def _column(self, run: TestRun) -> list[float]:
        trace, spans = run.trace, run.spans
        bar = (trace.readings_pa - self.air.tested.outside_pa) / BAR_PA
        at_s = SETTLING_S + self._own_times(spans)
        shown = [np.interp(at_s, trace.t_s, bar[:, end]) for end in ENDS]
        still = [_still_s(trace.t_s - SETTLING_S, bar[:, self._watched[span.key]], span) for span in spans]
        return [*shown[0].tolist(), *shown[1].tolist(), *values_read(self.air.tested, self.air.air, run), *still]

    @cached_property
    def _watched(self) -> dict[str, int]:
        """Probe of the gauge that is watched in each stage: that of the pipe, or of a brake cylinder where one is read."""
        found = {span.key: 0 if span.at == "front" else 1 for span in self.air.spans}
        for place in reading_places(self.air.tested):
            if place.reads == "brake cylinder":
                found[place.stage] = GAUGES + brake_of_cab(self.air.tested, self.air.air, place.at)
        return found

    def _own_times(self, spans: Sequence[StageSpan]) -> Floats:
        """The moments in a test whose stages took longer: the same share of the stage has gone by."""
        planned = [0.0, *(span.ends_s for span in self.air.spans)]
        return np.asarray(np.interp(self.moments_s, planned, [0.0, *(span.ends_s for span in spans)]))


def _still_s(t_s: Floats, bar: Floats, span: StageSpan) -> float:
    """Seconds after a stage began from which its gauge stays where it ends; nan where it moves up to the end."""
    inside = (t_s >= span.begins_s - 1e-9) & (t_s <= span.ends_s + 1e-9)
    own_s, own = t_s[inside], bar[inside]
    away = np.flatnonzero(np.abs(own - own[-1]) > STILL_BAR)
    if away.size == 0:
        return 0.0
    last = int(away[-1]) + 1
    # One that creeps comes near its last value only because it is its last: still means still for a while.
    if own_s[-1] - own_s[min(last, own_s.size - 1)] < STILL_FOR_S:
        return float("nan")
    return float(own_s[last] - span.begins_s)
