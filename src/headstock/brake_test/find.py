"""What explains the readings of a test, what they cannot tell apart, and which way to walk and look.

It says where to look, never what is so. The train is held first, everywhere, level roads included. Bleeding a brake is never
proposed: it hides the fault and takes the hold away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headstock.brake_test.causes import Cause
from headstock.brake_test.find_pairs import PairSuspect, pairs_explaining
from headstock.brake_test.gauge_error import GaugeErrors
from headstock.brake_test.look_walk import LookWalk, walk_of
from headstock.brake_test.signature_set import Signatures
from headstock.brake_test.signatures import Floats, Runs
from headstock.reasoning.hypotheses import alike, fit_of, means_of, odds_of

FITS_WITHIN = 2.5
"""Root mean square of standard errors above which no cause explains the readings (common practice: two to three)."""
WORTH_NAMING = 0.002
"""Odds below which a cause is not named [-]."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A cause however bad, its odds, and the degrees that fit (none: has no degrees)."""

    cause: Cause
    odds: float
    severities: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Explanation:
    """Causes that the readings cannot tell apart, likeliest first, their odds together and how well the best one fits."""

    suspects: tuple[Suspect, ...]
    odds: float
    fit: float


@dataclass(frozen=True, slots=True)
class FindResult:
    """Explanations by falling odds, whether one fits, else pairs of causes by falling odds; the way to walk and look."""

    explanations: tuple[Explanation, ...]
    is_explained: bool
    pairs: tuple[PairSuspect, ...]
    walk: LookWalk


@dataclass(frozen=True)
class Searched:
    """What a search goes on: signatures, the gauges, how fast people walk [m/s], where the walk begins [m from the front].

    ``there``, ``not_there``: causes found at places already looked at, and causes looked for there and not found. ``runs``
    answers pairs of causes; without it none are thought of.
    """

    signatures: Signatures
    errors: GaugeErrors
    walking_m_s: float
    start_m: float
    there: frozenset[Cause] = frozenset()
    not_there: frozenset[Cause] = frozenset()
    runs: Runs | None = None


def find_causes(searched: Searched, observed: Floats) -> FindResult:
    """Explain readings (readings,) in the test's order, NaN where none was taken."""
    singles = searched.signatures.task.singles
    rows, covariance = searched.signatures.rows(), searched.errors.covariance
    prior = _prior(searched)
    odds = odds_of(rows, prior, observed, covariance)
    fits = fit_of(rows, observed, covariance)
    taken = ~np.isnan(observed)
    groups = alike(means_of(rows)[:, taken], searched.errors.apart[taken]) if taken.any() else (tuple(range(len(singles))),)
    explained = [_explanation(searched, group, odds, fits) for group in groups]
    kept = tuple(sorted((one for one in explained if one.suspects), key=lambda one: -one.odds))
    is_explained = bool(fits[prior > 0].min(initial=np.inf) <= FITS_WITHIN)
    pairs = () if is_explained or searched.runs is None else _pairs(searched, observed)
    walk = walk_of(searched.signatures.task.air, _weights(searched, odds, pairs), searched.start_m, searched.walking_m_s)
    return FindResult(kept, is_explained, pairs, walk)


def _prior(searched: Searched) -> Floats:
    """What was found there alone can be; what was looked for and is not there cannot."""
    prior = searched.signatures.prior()
    for number, one in enumerate(searched.signatures.task.singles):
        whole = one.cause.without_degree
        if whole in searched.not_there or (searched.there and whole not in searched.there):
            prior[number] = 0.0
    return prior


def _pairs(searched: Searched, observed: Floats) -> tuple[PairSuspect, ...]:
    assert searched.runs is not None
    found = pairs_explaining(searched.signatures, searched.errors.covariance, observed, searched.runs, searched.there,
                             searched.not_there)  # fmt: skip
    return tuple(pair for pair in found if pair.fit <= FITS_WITHIN and pair.odds >= WORTH_NAMING)


def _weights(searched: Searched, odds: Floats, pairs: Sequence[PairSuspect]) -> dict[Cause, float]:
    """How much each cause is suspected, however bad; where two at once explain, each of them, but what is found already."""
    weights: dict[Cause, float] = {}
    if pairs:
        for pair in pairs:
            for cause in {one.without_degree for one in pair.causes} - searched.there:
                weights[cause] = weights.get(cause, 0.0) + pair.odds
        return weights
    for number, one in enumerate(searched.signatures.task.singles):
        whole = one.cause.without_degree
        weights[whole] = weights.get(whole, 0.0) + float(odds[number])
    return {cause: weight for cause, weight in weights.items() if weight >= WORTH_NAMING and cause not in searched.there}


def _explanation(searched: Searched, group: Sequence[int], odds: Floats, fits: Floats) -> Explanation:
    singles = searched.signatures.task.singles
    by_cause: dict[Cause, list[int]] = {}
    for number in group:
        if odds[number] > 0.0:
            by_cause.setdefault(singles[number].cause.without_degree, []).append(number)
    suspects = [
        Suspect(cause, float(odds[numbers].sum()), tuple(singles[n].cause.severity for n in numbers if singles[n].cause.severity))
        for cause, numbers in by_cause.items()
    ]
    named = sorted((one for one in suspects if one.odds >= WORTH_NAMING), key=lambda one: -one.odds)
    return Explanation(tuple(named), float(odds[list(group)].sum()), float(fits[list(group)].min()))
