"""Which states of a train explain a record of its pressures, and which do not: single causes, then pairs of the likeliest.

It never says what happened. What is not on its list of causes cannot be found by it; that nothing explains is an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np

from headstock.brake_test.causes import NOTHING, Cause, Weighed, causes_of
from headstock.brake_test.fault_acts import READING_FAULTS
from headstock.brake_test.record_fit import Fit, refined, screened
from headstock.brake_test.record_model import RecordModel

FITS_WITHIN = 2.0
"""Root mean square of standard errors in every channel up to which something explains the record (common practice)."""
SINGLES, PARTNERS, PAIRS = 10, 2, 4
"""So many single causes are refined; so many of them are paired with every other; so many pairs are refined."""
ALIKE = 0.5
"""Two that differ by less than this everywhere on average [standard errors] cannot be told apart by this record."""


@dataclass(frozen=True)
class Candidate:
    """Causes that were fitted to the record. ``prior``: assumed plausibility before anything is read; ``odds`` after.

    ``alike``: number of the better one in the table that this record cannot tell it from; 0: none.
    """

    fit: Fit
    prior: float
    odds: float
    explains: bool
    alike: int


@dataclass(frozen=True)
class Reconstruction:
    """Candidates by falling odds; how many were tried as they stand; every single cause by how well it fits unrefined."""

    candidates: tuple[Candidate, ...]
    tried: int
    singles: tuple[Fit, ...]

    @property
    def is_explained(self) -> bool:
        """Whether anything explains the record."""
        return any(candidate.explains for candidate in self.candidates)


def reconstruct(model: RecordModel) -> Reconstruction:
    """Try every single cause as it stands, refine the best, pair them, and rank what came of it."""
    weighed = _recordable(causes_of(model.air.tested, model.air.air, model.drawn))
    singles = screened(model, [() if one.cause == NOTHING else (one.cause,) for one in weighed])
    prior = _priors(weighed)
    best = [refined(model, fit.tried) for fit in _best(singles, SINGLES)]
    if not any(not fit.tried.causes for fit in best):
        best.append(refined(model, next(fit for fit in singles if not fit.tried.causes).tried))
    partners = [fit for fit in sorted(best, key=lambda fit: fit.misfit) if fit.tried.causes][:PARTNERS]
    pairs = screened(model, _pairs(partners, weighed))
    best += [refined(model, fit.tried) for fit in _best(pairs, PAIRS)]
    ranked = tuple(sorted(singles, key=lambda fit: fit.misfit))
    return Reconstruction(_ranked(model, best, prior), len(singles) + len(pairs), ranked)


def _recordable(weighed: Sequence[Weighed]) -> list[Weighed]:
    """A recorder has no gauge that is read wrongly."""
    return [one for one in weighed if one.cause.kind not in READING_FAULTS]


def _priors(weighed: Sequence[Weighed]) -> dict[Cause, float]:
    """Plausibility of each cause however bad, as a share of that of nothing wrong."""
    found: dict[Cause, float] = {}
    for one in weighed:
        found[one.cause.without_degree] = found.get(one.cause.without_degree, 0.0) + one.prior
    nothing = found.get(NOTHING, 1.0)
    return {cause: share / nothing for cause, share in found.items()}


def _wholes(fit: Fit) -> frozenset[Cause]:
    return frozenset(cause.without_degree for cause in fit.tried.causes)


def _best(fits: Sequence[Fit], most: int) -> list[Fit]:
    """The best of each cause or pair, whatever its degree, and of those the first few."""
    found: dict[frozenset[Cause], Fit] = {}
    for fit in sorted(fits, key=lambda fit: fit.misfit):
        found.setdefault(_wholes(fit), fit)
    return list(found.values())[:most]


def _pairs(partners: Sequence[Fit], weighed: Sequence[Weighed]) -> list[tuple[Cause, ...]]:
    """Each partner with every other cause in every degree; not one place in two degrees of one kind."""
    found, seen = list[tuple[Cause, ...]](), set[frozenset[Cause]]()
    for fit in partners:
        (cause,) = fit.tried.causes
        for one in weighed:
            both = frozenset((cause, one.cause))
            if one.cause == NOTHING or one.cause.without_degree == cause.without_degree or both in seen:
                continue
            seen.add(both)
            found.append((cause, one.cause))
    return found


def _ranked(model: RecordModel, fits: Sequence[Fit], prior: dict[Cause, float]) -> tuple[Candidate, ...]:
    """By odds: plausibility times likelihood, each degree that was fitted paid for (as in the Bayesian criterion of Schwarz)."""
    shares = [float(np.prod([prior[cause] for cause in _wholes(fit)] or [1.0])) for fit in fits]
    scores = np.array([
        log(share) - fit.misfit - 0.5 * fit.fitted * log(max(model.recorded.count, 1.0))
        for fit, share in zip(fits, shares, strict=True)
    ])  # fmt: skip
    odds = np.exp(scores - scores.max())
    odds /= odds.sum()
    order = np.argsort(-odds, kind="stable")
    candidates: list[Candidate] = []
    for number in order:
        fit = fits[number]
        if any(_wholes(better.fit) < _wholes(fit) and _is_alike(model, fit, better.fit) for better in candidates):
            continue  # one cause more that changes nothing
        explains = max(fit.rms) <= FITS_WITHIN
        alike = next((place for place, one in enumerate(candidates, start=1) if _is_alike(model, fit, one.fit)), 0)
        candidates.append(Candidate(fit, shares[number], float(odds[number]), explains, alike))
    total = sum(one.odds for one in candidates)
    return tuple(replace(one, odds=one.odds / total) for one in candidates)


def _is_alike(model: RecordModel, one: Fit, other: Fit) -> bool:
    apart = (one.simulated - other.simulated) / model.recorded.sigma_bar
    return float(np.sqrt(np.nanmean(apart**2, axis=0)).max()) < ALIKE
