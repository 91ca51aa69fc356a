"""Fits what some causes would have had recorded to a record: how bad each cause, the train, the clock; least squares, bounded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log
from typing import Final

import numpy as np
from scipy.optimize import least_squares

from headstock.brake_test.causes import Cause
from headstock.brake_test.record_model import CLOCK_S, TRAIN, RecordModel, Tried
from headstock.brake_test.signatures import Floats
from headstock.local_rules.drawn_tests import FaultKind

DEGREES: Final[dict[FaultKind, tuple[float, float]]] = {
    "cock part open": (0.003, 0.9), "pipe blocked": (0.003, 0.9), "pipe leaks": (0.05, 20.0), "cylinder leaks": (0.1, 100.0),
    "lapped valve feeds": (0.05, 60.0),
}  # fmt: skip
"""Least and greatest degree that is tried, in the unit of the kind; searched by its logarithm."""
STEP = 0.05
MOST_ROUNDS = 12
RANGE_SIGMA = 1.0
"""A train at the edge of its range costs one standard error: the ranges are even, the fit needs a slope (our choice)."""
CLOCK_AT_MOST_S = 3.0


@dataclass(frozen=True)
class Fit:
    """The best of some causes: with their degrees, what the record would have been, how far off it is.

    ``misfit``: half the sum of squares that the ranking goes by; ``rms`` per channel in standard errors; ``rms_bar`` in bar.
    """

    tried: Tried
    simulated: Floats
    misfit: float
    rms: tuple[float, ...]
    rms_bar: tuple[float, ...]
    farthest_bar: tuple[float, ...]
    fitted: int


def screened(model: RecordModel, causes: Sequence[tuple[Cause, ...]]) -> list[Fit]:
    """Each as it stands, for a train in the middle of its ranges."""
    tried = [Tried(some) for some in causes]
    return [fit_of(model, one, simulated) for one, simulated in zip(tried, model.simulated(tried), strict=True)]


def refined(model: RecordModel, first: Tried) -> Fit:
    """The degrees, the train and the clock that explain the record best, beginning from ``first``."""
    bounds = [(-1.0, 1.0)] * (len(TRAIN) - 1) + [(-CLOCK_AT_MOST_S, CLOCK_AT_MOST_S)]
    bounds += [(log(low), log(high)) for low, high in (DEGREES[cause.kind] for cause in first.causes if cause.kind in DEGREES)]
    low, high = (np.array(column) for column in zip(*bounds, strict=True))
    begins = np.clip(_packed(first), low + 1e-6, high - 1e-6)

    def off(packed: Floats) -> Floats:
        return _column(model, packed, model.simulated([_unpacked(first, packed)])[0])

    def slopes(packed: Floats) -> Floats:
        """All directions at once, side by side; steps go inward from a bound."""
        steps = np.where(packed + STEP > high, -STEP, STEP)
        points = [packed, *(packed + np.eye(len(packed))[number] * steps[number] for number in range(len(packed)))]
        simulated = model.simulated([_unpacked(first, point) for point in points])
        columns = [_column(model, point, one) for point, one in zip(points, simulated, strict=True)]
        return np.stack([(column - columns[0]) / step for column, step in zip(columns[1:], steps, strict=True)], axis=1)

    found = least_squares(off, begins, slopes, bounds=(low, high), max_nfev=MOST_ROUNDS, ftol=1e-4, xtol=1e-3)
    best = _unpacked(first, found.x)
    return fit_of(model, best, model.simulated([best])[0])


def fit_of(model: RecordModel, tried: Tried, simulated: Floats) -> Fit:
    """How well something explains the record."""
    recorded = model.recorded
    off, off_bar = model.residuals(simulated), recorded.bar - simulated
    fitted = len(TRAIN) + sum(cause.kind in DEGREES for cause in tried.causes)
    train = sum((share / RANGE_SIGMA) ** 2 for share in tried.train[:-1]) + (tried.train[-1] / CLOCK_S) ** 2
    misfit = 0.5 * (recorded.weight * float(np.nansum(off**2)) + train)
    return Fit(
        tried, simulated, misfit, tuple(np.sqrt(np.nanmean(off**2, axis=0)).tolist()),
        tuple(np.sqrt(np.nanmean(off_bar**2, axis=0)).tolist()), tuple(np.nanmax(np.abs(off_bar), axis=0).tolist()), fitted,
    )  # fmt: skip


def _packed(tried: Tried) -> Floats:
    degrees = [log(max(cause.severity, DEGREES[cause.kind][0])) for cause in tried.causes if cause.kind in DEGREES]
    return np.array([*tried.train, *degrees])


def _unpacked(first: Tried, packed: Floats) -> Tried:
    degrees = iter(packed[len(TRAIN) :])
    causes = tuple(
        replace(cause, severity=exp(float(next(degrees)))) if cause.kind in DEGREES else cause for cause in first.causes
    )
    return Tried(causes, tuple(packed[: len(TRAIN)].tolist()))


def _column(model: RecordModel, packed: Floats, simulated: Floats) -> Floats:
    """What is made small: residuals weighted, then how far the train and the clock are from their middle."""
    off = np.nan_to_num(model.residuals(simulated).ravel(), nan=0.0) * np.sqrt(model.recorded.weight)
    share = packed[: len(TRAIN) - 1] / RANGE_SIGMA
    return np.concatenate((off, share, [packed[len(TRAIN) - 1] / CLOCK_S]))
