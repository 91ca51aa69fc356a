"""What explains the readings of a test, what they cannot tell apart, and which way to walk and look.

It says where to look, never what is so. The train is held first, everywhere, level roads included. Bleeding a brake is never
proposed: it hides the fault and takes the hold away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.gauge_error import GaugeErrors
from headstock.brake_test.look_places import LookPlace, look_places
from headstock.brake_test.signature_set import Signatures
from headstock.brake_test.signatures import Floats
from headstock.reasoning.hypotheses import alike, fit_of, means_of, odds_of
from headstock.reasoning.next_look import Look, LookPlan, plan_looks

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

    @property
    def is_nothing_wrong(self) -> bool:
        """Whether that nothing is wrong is among them."""
        return any(suspect.cause == NOTHING for suspect in self.suspects)


@dataclass(frozen=True, slots=True)
class FindResult:
    """Explanations by falling odds; whether any fits; the walk, as places in order, with its expected time [min]."""

    explanations: tuple[Explanation, ...]
    is_explained: bool
    walk: tuple[LookPlace, ...]
    walk_min: float
    not_shown_by_looking: tuple[Cause, ...]


@dataclass(frozen=True)
class Searched:
    """What a search goes on: signatures, the gauges, how fast people walk [m/s], where the walk begins [m from the front].

    ``looked``: what was found at places already looked at: causes that are there, or are not.
    """

    signatures: Signatures
    errors: GaugeErrors
    walking_m_s: float
    start_m: float
    there: frozenset[Cause] = frozenset()
    not_there: frozenset[Cause] = frozenset()


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
    kept = sorted((one for one in explained if one.suspects), key=lambda one: -one.odds)
    walk, minutes, blind = _walk(searched, odds)
    return FindResult(tuple(kept), bool(fits[prior > 0].min(initial=np.inf) <= FITS_WITHIN), walk, minutes, blind)


def _prior(searched: Searched) -> Floats:
    """What was found there alone can be; what was looked for and is not there cannot."""
    prior = searched.signatures.prior()
    for number, one in enumerate(searched.signatures.task.singles):
        whole = one.cause.without_degree
        if whole in searched.not_there or (searched.there and whole not in searched.there):
            prior[number] = 0.0
    return prior


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


def _walk(searched: Searched, odds: Floats) -> tuple[tuple[LookPlace, ...], float, tuple[Cause, ...]]:
    """The way with the least expected time until the cause is seen; what no look shows is told apart from it."""
    wholes: dict[Cause, float] = {}
    for number, one in enumerate(searched.signatures.task.singles):
        whole = one.cause.without_degree
        wholes[whole] = wholes.get(whole, 0.0) + float(odds[number])
    suspects = [cause for cause, share in sorted(wholes.items(), key=lambda item: -item[1]) if share >= WORTH_NAMING]
    places = look_places(searched.signatures.task.air, suspects)
    shown = {cause for place in places for cause in place.shows}
    blind = tuple(cause for cause in suspects if cause not in shown and cause != NOTHING)
    if not places:
        return (), 0.0, blind
    at_m = [searched.start_m, *(place.at_m for place in places)]
    travel = [[abs(there - here) / searched.walking_m_s / 60.0 for there in at_m] for here in at_m]
    numbered = {cause: 1 + number for number, cause in enumerate(suspects)}
    looks = [
        Look(place.name, 1 + number, place.minutes, tuple(numbered[c] if c in place.shows else 0 for c in suspects))
        for number, place in enumerate(places)
    ]
    # What no look shows is one lot: looking cannot part it.
    groups = [number if cause in shown else -1 for number, cause in enumerate(suspects)]
    plan: LookPlan = plan_looks([wholes[cause] for cause in suspects], groups, looks, travel, 0)
    return tuple(places[number] for number in plan.first), plan.expected_min, blind
