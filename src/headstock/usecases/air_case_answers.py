"""The three questions of an air case, answered from a series of gauge pressures [bar] over times [s]."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats
from headstock.usecases.air_case_file import AskCross, AskDrop, AskValue


@dataclass(frozen=True, slots=True)
class AirAnswer:
    """One answer; a level that is never passed has no value."""

    value: float | None
    unit: str


def answer_of(ask: AskValue | AskCross | AskDrop, t_s: Floats, bar: Floats) -> AirAnswer:
    """What was asked of one place. Raises OutsideModelError rather than answer with no number."""
    if not np.isfinite(bar).all():
        raise OutsideModelError(f"what {ask.where} reads is not a number all the time")
    if isinstance(ask, AskValue):
        return AirAnswer(_at(ask.t_s, t_s, bar), "bar")
    if isinstance(ask, AskDrop):
        fall_bar = _at(ask.t1_s, t_s, bar) - _at(ask.t2_s, t_s, bar)
        return AirAnswer(60.0 * fall_bar / (ask.t2_s - ask.t1_s), "bar/min")
    return AirAnswer(crossing_s(t_s, bar, ask.level_bar, ask.direction == "up", ask.after_s), "s")


def crossing_s(t_s: Floats, bar: Floats, level_bar: float, upward: bool, after_s: float) -> float | None:
    """First time [s], counted from ``after_s``, at which a series comes from strictly before a level to it or beyond.

    In a straight line between two samples; what the series reads at ``after_s`` itself is its first sample.

    >>> crossing_s(np.array([0.0, 1.0, 2.0]), np.array([5.0, 4.0, 2.0]), 3.0, upward=False, after_s=0.5)
    1.0
    """
    start_bar = _at(after_s, t_s, bar)
    later = t_s > after_s
    times = np.concatenate(([after_s], t_s[later])) - after_s
    sign = 1.0 if upward else -1.0
    short = sign * (np.concatenate(([start_bar], bar[later])) - level_bar)
    found = np.flatnonzero((short[:-1] < 0.0) & (short[1:] >= 0.0))
    if not found.size:
        return None
    k = int(found[0])
    share = -short[k] / (short[k + 1] - short[k])
    return float(times[k] + share * (times[k + 1] - times[k]))


def _at(when_s: float, t_s: Floats, bar: Floats) -> float:
    return float(np.interp(when_s, t_s, bar))
