"""Two faults at once, where no single one explains the readings.

All pairs would be too many runs of the air. What two faults read together is first guessed by adding what each does to a
healthy train's readings; the best guesses, and all pairs of the singles that fit best, are then run through the air engine.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.signature_set import Signatures
from headstock.brake_test.signatures import Floats, Runs, Scenario, readings_of
from headstock.reasoning.hypotheses import Rows, fit_of, odds_of

GUESSED, BEST_SINGLES, DRAWS = 24, 5, 3
"""Pairs run because the guess is good, singles of which all pairs are run, and drawn tests of each pair."""


@dataclass(frozen=True, slots=True)
class PairSuspect:
    """Two causes in their degrees, the odds among all pairs thought of [-], how well they fit."""

    causes: tuple[Cause, Cause]
    odds: float
    fit: float


def pairs_explaining(
    signatures: Signatures,
    covariance: Floats,
    observed: Floats,
    runs: Runs,
    there: Collection[Cause],
    not_there: Collection[Cause],
) -> tuple[PairSuspect, ...]:
    """Pairs by falling odds; with a cause found ``there``, it is one of the two."""
    task, prior = signatures.task, signatures.prior()
    pairs = _thought_of(signatures, covariance, observed, there, not_there)
    if not pairs or np.isnan(observed).all():
        return ()
    draws = min(DRAWS, task.members)
    scenarios = [Scenario((task.singles[a].cause, task.singles[b].cause), draw) for a, b in pairs for draw in range(draws)]
    rows = Rows(
        readings_of(task.air, task.drawn, scenarios, task.seed, runs), np.repeat(np.arange(len(pairs)), draws), len(pairs)
    )
    weight = np.array([prior[a] * prior[b] for a, b in pairs])
    odds, fits = odds_of(rows, weight / weight.sum(), observed, covariance), fit_of(rows, observed, covariance)
    found = [
        PairSuspect((task.singles[a].cause, task.singles[b].cause), float(odds[number]), float(fits[number]))
        for number, (a, b) in enumerate(pairs)
    ]
    return tuple(sorted(found, key=lambda pair: -pair.odds))


def _thought_of(
    signatures: Signatures, covariance: Floats, observed: Floats, there: Collection[Cause], not_there: Collection[Cause]
) -> list[tuple[int, int]]:
    """Numbers of single causes, two and two."""
    singles, members = signatures.task.singles, signatures.task.members
    readings = signatures.readings.reshape(len(singles), members, -1)
    nothing = next(number for number, one in enumerate(singles) if one.cause == NOTHING)
    can_be = [n for n, one in enumerate(singles) if one.cause != NOTHING and one.cause.without_degree not in not_there]
    pairs = [
        (a, b) for a, b in combinations(can_be, 2)
        if (singles[a].cause.kind, singles[a].cause.place) != (singles[b].cause.kind, singles[b].cause.place)
        and (not there or singles[a].cause.without_degree in there or singles[b].cause.without_degree in there)
    ]  # fmt: skip
    if not pairs:
        return []
    prior = signatures.prior()
    first, second = (np.array(numbers) for numbers in zip(*pairs, strict=True))
    # Both effects on the middle of the healthy train: a guess, so the mean of the draws will do.
    effect = readings.mean(axis=1) - readings[nothing].mean(axis=0)
    guessed = readings[nothing].mean(axis=0) + effect[first] + effect[second]
    odds = odds_of(Rows(guessed, np.arange(len(pairs)), len(pairs)), prior[first] * prior[second], observed, covariance)
    kept = {pairs[number] for number in np.argsort(-odds)[:GUESSED]}
    fits = fit_of(signatures.rows(), observed, covariance)
    best = sorted(can_be, key=lambda number: float(fits[number]))[:BEST_SINGLES]
    kept |= {pair for pair in combinations(sorted(best), 2) if pair in set(pairs)}
    return sorted(kept)
