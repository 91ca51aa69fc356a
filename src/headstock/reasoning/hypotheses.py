"""Which causes explain a set of readings: drawn predictions of each cause weighed against what was read.

A cause is known by rows of predicted readings: the same thing drawn many times, with all that may differ and is not asked
about. Readings of one instrument share its error, so that differences between them are known better than the readings. The
odds of a cause are its prior odds times the mean likelihood of its rows (Bayes; Gelman and others, Bayesian Data Analysis,
3rd edition, section 1.3, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Instrument:
    """How far an instrument may be off: ``bias`` the same at every reading, ``noise`` anew at each (standard deviations).

    Unit: that of the readings.
    """

    bias: float
    noise: float


@dataclass(frozen=True, slots=True)
class Rows:
    """Predicted readings (rows, readings), and the number of the cause of each row; NaN where a row predicts nothing.

    A reading that a row does not predict counts as the worst of what is likely at all: it neither speaks for nor hides.
    """

    predicted: Floats
    cause: Ints
    causes: int


def covariance_of(instruments: Sequence[Instrument], read_by: Sequence[int]) -> Floats:
    """Covariance of the readings' errors (readings, readings): those read by one instrument share its bias."""
    bias = np.array([instruments[number].bias for number in read_by])
    noise = np.array([instruments[number].noise for number in read_by])
    shared = np.equal.outer(np.asarray(read_by), np.asarray(read_by))
    return np.asarray(np.where(shared, np.multiply.outer(bias, bias), 0.0) + np.diag(noise**2))


def odds_of(rows: Rows, prior: Floats, observed: Floats, covariance: Floats) -> Floats:
    """Posterior probability of each cause (causes,); readings that are NaN were not taken and say nothing.

    Sums to 1. Without any reading it is the prior.
    """
    taken = ~np.isnan(observed)
    weights = _log_mean_likelihood(rows, observed[taken], covariance[np.ix_(taken, taken)], taken)
    with np.errstate(divide="ignore"):
        log_odds = np.log(prior) + weights
    best = np.max(log_odds)
    if not np.isfinite(best):
        return np.asarray(prior / prior.sum())
    odds = np.exp(log_odds - best)
    return np.asarray(odds / odds.sum())


def fit_of(rows: Rows, observed: Floats, covariance: Floats) -> Floats:
    """How many standard errors a reading the nearest row of each cause is off, root mean square (causes,); 1 or less fits."""
    taken = ~np.isnan(observed)
    if not taken.any():
        return np.zeros(rows.causes)
    far = _distance2(rows.predicted[:, taken], observed[taken], covariance[np.ix_(taken, taken)])
    nearest = np.full(rows.causes, np.inf)
    np.minimum.at(nearest, rows.cause, far)
    return np.asarray(np.sqrt(nearest / taken.sum()))


def alike(means: Floats, apart: Floats) -> tuple[tuple[int, ...], ...]:
    """Causes that no reading tells apart: groups joined by pairs that differ by less than ``apart`` (readings,) everywhere.

    ``means``: (causes, readings). Groups in the order of their first cause.
    """
    count = len(means)
    near = np.all(np.abs(means[:, None, :] - means[None, :, :]) < apart, axis=2)
    group = np.arange(count)
    for one in range(count):
        for other in np.flatnonzero(near[one]):
            group[group == group[other]] = group[one]
    found: dict[int, list[int]] = {}
    for cause in range(count):
        found.setdefault(int(group[cause]), []).append(cause)
    return tuple(tuple(members) for members in sorted(found.values()))


def means_of(rows: Rows) -> Floats:
    """The mean predicted readings of each cause (causes, readings)."""
    sums = np.zeros((rows.causes, rows.predicted.shape[1]))
    np.add.at(sums, rows.cause, rows.predicted)
    return np.asarray(sums / np.bincount(rows.cause, minlength=rows.causes)[:, None])


def _log_mean_likelihood(rows: Rows, observed: Floats, covariance: Floats, taken: NDArray[np.bool_]) -> Floats:
    """Log of the mean over each cause's rows of the normal density; the constant that all share is left out."""
    found = np.full(rows.causes, -np.inf)
    if observed.size == 0:
        return np.zeros(rows.causes)
    log_each = -0.5 * _distance2(rows.predicted[:, taken], observed, covariance)
    np.maximum.at(found, rows.cause, log_each)
    top = np.where(np.isfinite(found), found, 0.0)
    sums, counts = np.zeros(rows.causes), np.zeros(rows.causes)
    np.add.at(sums, rows.cause, np.exp(log_each - top[rows.cause]))
    np.add.at(counts, rows.cause, 1.0)
    with np.errstate(divide="ignore"):
        return np.asarray(top + np.log(sums / np.maximum(counts, 1.0)))


def _distance2(predicted: Floats, observed: Floats, covariance: Floats) -> Floats:
    """Squared distance in standard errors of each row (rows,)."""
    factor = np.linalg.cholesky(covariance)
    gap = np.linalg.solve(factor, (predicted - observed).T)
    return np.asarray(np.sum(gap**2, axis=0))
