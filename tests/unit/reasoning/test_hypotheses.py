"""Odds of causes from readings: against a library's densities, against the draw, and what no reading tells apart."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from headstock.reasoning.hypotheses import Instrument, Rows, alike, covariance_of, fit_of, means_of, odds_of

GAUGES = (Instrument(0.05, 0.02), Instrument(0.08, 0.02))
READ_BY = (0, 0, 1)


def drawn_rows(seed: int = 1, causes: int = 4, each: int = 30, wide: float = 1.0) -> Rows:
    draw = np.random.default_rng(seed)
    centre = draw.uniform(0.0, wide, (causes, 3))
    cause = np.repeat(np.arange(causes), each)
    return Rows(centre[cause] + draw.normal(0.0, 0.05, (causes * each, 3)), cause, causes)


def test_readings_of_one_gauge_share_its_error() -> None:
    covariance = covariance_of(GAUGES, READ_BY)
    assert covariance == pytest.approx(
        np.array([[0.0029, 0.0025, 0.0], [0.0025, 0.0029, 0.0], [0.0, 0.0, 0.0068]])
    )  # fmt: skip


@pytest.mark.outside(source="SciPy", clause="scipy.stats.multivariate_normal", status="computed")
def test_the_odds_are_prior_times_mean_density() -> None:
    rows, covariance = drawn_rows(), covariance_of(GAUGES, READ_BY)
    prior, observed = np.array([0.4, 0.3, 0.2, 0.1]), np.array([0.5, 0.45, 0.6])
    density = multivariate_normal(observed, covariance).pdf(rows.predicted)
    expected = prior * np.array([density[rows.cause == cause].mean() for cause in range(4)])
    assert odds_of(rows, prior, observed, covariance) == pytest.approx(expected / expected.sum(), rel=1e-9)


def test_without_readings_the_prior_stands_and_a_missing_one_says_nothing() -> None:
    rows, covariance, prior = drawn_rows(), covariance_of(GAUGES, READ_BY), np.full(4, 0.25)
    assert odds_of(rows, prior, np.full(3, np.nan), covariance) == pytest.approx(prior)
    some = odds_of(rows, prior, np.array([0.5, np.nan, 0.6]), covariance)
    fewer = Rows(rows.predicted[:, [0, 2]], rows.cause, 4)
    assert some == pytest.approx(odds_of(fewer, prior, np.array([0.5, 0.6]), covariance[np.ix_([0, 2], [0, 2])]))


def test_odds_come_true_as_often_as_they_say() -> None:
    rows, covariance = drawn_rows(causes=3, wide=0.25), covariance_of(GAUGES, READ_BY)
    prior, draw = np.array([0.6, 0.3, 0.1]), np.random.default_rng(5)
    said, came = [], []
    for _ in range(3000):
        cause = draw.choice(3, p=prior)
        row = draw.choice(np.flatnonzero(rows.cause == cause))
        observed = draw.multivariate_normal(rows.predicted[row], covariance)
        odds = odds_of(rows, prior, observed, covariance)
        said += odds.tolist()
        came += [int(cause == which) for which in range(3)]
    bins = np.digitize(said, np.linspace(0.1, 0.9, 9))
    gaps = [abs(np.mean(np.array(said)[bins == b]) - np.mean(np.array(came)[bins == b]))
            for b in range(10) if (bins == b).sum() > 200]  # fmt: skip
    assert len(gaps) >= 5 and max(gaps) <= 0.05


def test_an_impossible_reading_does_not_break_the_odds_and_fits_nothing() -> None:
    rows, covariance = drawn_rows(), covariance_of(GAUGES, READ_BY)
    odds = odds_of(rows, np.full(4, 0.25), np.full(3, 80.0), covariance)
    assert odds.sum() == pytest.approx(1.0) and np.all(np.isfinite(odds))
    assert fit_of(rows, np.full(3, 80.0), covariance).min() > 100
    assert fit_of(rows, rows.predicted[0], covariance)[0] == pytest.approx(0.0, abs=1e-6)
    assert fit_of(rows, np.full(3, np.nan), covariance) == pytest.approx(np.zeros(4))


def test_causes_that_no_reading_tells_apart_stand_together() -> None:
    means = np.array([[1.0, 2.0], [1.02, 2.0], [1.0, 3.0], [1.04, 2.01]])
    assert alike(means, np.array([0.03, 0.03])) == ((0, 1, 3), (2,))
    assert alike(means, np.array([0.01, 0.01])) == ((0,), (1,), (2,), (3,))
    assert means_of(Rows(means, np.array([0, 0, 1, 1]), 2)) == pytest.approx(np.array([[1.01, 2.0], [1.02, 2.505]]))
