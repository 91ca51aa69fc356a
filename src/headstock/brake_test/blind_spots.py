"""What a test can see and what it cannot: every cause at every reading, from how bad on, and what a moved limit does.

A cause is *seen* where nearly every drawn test with it has a reading outside its limit, *never seen* where no more have one
than healthy trains do. In between it is a matter of chance, which is no way to find a fault.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.gauge_error import GaugeErrors
from headstock.brake_test.signature_set import Signatures
from headstock.brake_test.signatures import Floats, beyond
from headstock.brake_test.stage_readings import ReadingPlace

Seen = Literal["seen", "seen from", "by chance", "never"]
NEARLY_ALWAYS, NO_MORE_THAN = 0.99, 0.02
"""Share of tests in which a cause must show to count as seen; how many more than healthy ones still count as never."""
GAUGES_DRAWN = 200


@dataclass(frozen=True, slots=True)
class DegreeSeen:
    """One degree of a cause: share of drawn tests outside the limit at each reading, and at any of them [-]."""

    severity: float
    at_reading: tuple[float, ...]
    at_all: float


@dataclass(frozen=True, slots=True)
class CauseSeen:
    """A cause in all its degrees, and from which severity on it is seen (None: has no degrees, or is not seen)."""

    cause: Cause
    degrees: tuple[DegreeSeen, ...]
    answer: Seen
    from_severity: float | None

    def at_reading(self, number: int, healthy: float) -> Seen:
        """The same for one reading alone."""
        return _answer([degree.at_reading[number] for degree in self.degrees], healthy)[0]


@dataclass(frozen=True, slots=True)
class BlindSpots:
    """The table: causes by kind and place; ``healthy`` is how often a healthy train is outside a limit, at each and at all."""

    places: tuple[ReadingPlace, ...]
    healthy: DegreeSeen
    causes: tuple[CauseSeen, ...]


@dataclass(frozen=True, slots=True)
class LimitMoved:
    """A limit moved [bar; a count: share]: faults missed, by how often they are taken to be, and healthy trains failed."""

    moved: float
    limit: float
    missed_share: float
    false_alarm_share: float


def blind_spots(signatures: Signatures, errors: GaugeErrors, seed: int = 1) -> BlindSpots:
    """The table of a test's blind spots."""
    outside = _outside(errors, _as_read(signatures, errors, seed))
    shares = zip(outside.mean(axis=1), outside.any(axis=2).mean(axis=1), strict=True)
    singles = signatures.task.singles
    by_cause: dict[Cause, list[DegreeSeen]] = {}
    healthy = DegreeSeen(0.0, (0.0,) * len(errors.places), 0.0)
    for one, (at_reading, at_all) in zip(singles, shares, strict=True):
        degree = DegreeSeen(one.cause.severity, tuple(at_reading.tolist()), float(at_all))
        if one.cause == NOTHING:
            healthy = degree
        else:
            by_cause.setdefault(one.cause.without_degree, []).append(degree)
    causes = []
    for cause, degrees in by_cause.items():
        answer, from_which = _answer([degree.at_all for degree in degrees], healthy.at_all)
        severity = degrees[from_which].severity if from_which is not None and len(degrees) > 1 else None
        causes.append(CauseSeen(cause, tuple(degrees), answer, severity))
    return BlindSpots(errors.places, healthy, tuple(causes))


def limits_moved(
    signatures: Signatures, errors: GaugeErrors, readings: Sequence[int], steps: Sequence[float], seed: int = 1
) -> tuple[tuple[LimitMoved, ...], ...]:
    """For each of some readings, by number, what moving its limit does; the others stay where they are."""
    prior, read = signatures.prior(), _as_read(signatures, errors, seed)
    outside = _outside(errors, read)
    wrong = np.array([one.cause != NOTHING for one in signatures.task.singles])

    def moved(reading: int, step: float) -> LimitMoved:
        place = errors.places[reading]
        others = np.delete(outside, reading, axis=2).any(axis=2)
        shares = (others | beyond(place, read[:, :, reading], place.limit_bar + step)).mean(axis=1)
        missed = float((prior[wrong] * (1.0 - shares[wrong])).sum() / prior[wrong].sum())
        return LimitMoved(step, place.limit_bar + step, missed, float(shares[~wrong].mean()))

    return tuple(tuple(moved(reading, step) for step in steps) for reading in readings)


def _answer(shares: Sequence[float], healthy: float) -> tuple[Seen, int | None]:
    """Mildest degree first: seen from the first one after which all are."""
    if all(share <= healthy + NO_MORE_THAN for share in shares):
        return "never", None
    from_which = len(shares)
    while from_which > 0 and shares[from_which - 1] >= NEARLY_ALWAYS:
        from_which -= 1
    if from_which == 0:
        return "seen", 0
    return ("seen from", from_which) if from_which < len(shares) else ("by chance", None)


def _as_read(signatures: Signatures, errors: GaugeErrors, seed: int) -> Floats:
    """Every drawn test of each cause on many gauges (causes, tests, readings); the same gauges for every cause."""
    drawn = errors.drawn(np.random.default_rng(seed), signatures.task.members * GAUGES_DRAWN)
    causes = len(signatures.task.singles)
    readings = signatures.readings.reshape(causes, signatures.task.members, len(errors.places))
    return np.asarray(np.repeat(readings, GAUGES_DRAWN, axis=1) + drawn)


def _outside(errors: GaugeErrors, read: Floats) -> NDArray[np.bool_]:
    """Which of them are outside their limits (causes, tests, readings)."""
    columns = [beyond(place, read[:, :, number], place.limit_bar) for number, place in enumerate(errors.places)]
    return np.stack(columns, axis=2)
