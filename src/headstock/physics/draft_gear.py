"""Draft gear: force over stroke as a rising curve, from a line, a preload, a power law or a measured table; gears in series.

Past the last point of its curve a gear is solid: the frames take it, with a stiffness that is said.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats

SOLID_N_PER_M = 200e6
"""Stiffness of frames and couplers once the gear is shut [N/m] (common practice, no source)."""
PRELOAD_STROKE_M = 1e-5
"""Stroke over which a preload comes on [m]: as good as at once."""
POINTS = 240
"""Points by which a power law is drawn."""


@dataclass(frozen=True, slots=True)
class DraftGear:
    """Stroke [m] and force [N], both rising from 0; ``returns`` is the share of the force that it gives back letting out [-].

    ``solid_n_per_m`` is what the force rises with past the last point.
    """

    stroke_m: tuple[float, ...]
    force_n: tuple[float, ...]
    returns: float = 1.0
    solid_n_per_m: float = SOLID_N_PER_M

    def __post_init__(self) -> None:
        wrong = len(self.stroke_m) != len(self.force_n) or len(self.stroke_m) < 2
        wrong = wrong or self.stroke_m[0] != 0.0 or self.force_n[0] != 0.0
        wrong = wrong or any(not low < high for low, high in pairwise(self.stroke_m))
        wrong = wrong or any(not low < high for low, high in pairwise(self.force_n))
        if wrong or not math.isfinite(self.force_n[-1] + self.stroke_m[-1]):
            raise OutsideModelError("draft gear: expected two or more points from (0, 0) on, stroke and force both rising")
        if not 0.0 < self.returns <= 1.0 or not self.solid_n_per_m > 0.0:
            raise OutsideModelError("draft gear: expected a returned share above 0 to 1, a stiffness above 0")

    @property
    def full_stroke_m(self) -> float:
        """Stroke at which it is shut [m]."""
        return self.stroke_m[-1]

    @property
    def softest_n_per_m(self) -> float:
        """Least stiffness anywhere on its curve [N/m]."""
        points = pairwise(zip(self.stroke_m, self.force_n, strict=True))
        return min((g - f) / (y - x) for (x, f), (y, g) in points)

    def force_at(self, stroke_m: float) -> float:
        """Force [N] at a stroke [m]."""
        if stroke_m >= self.full_stroke_m:
            return self.force_n[-1] + self.solid_n_per_m * (stroke_m - self.full_stroke_m)
        return float(np.interp(stroke_m, self.stroke_m, self.force_n))

    def stroke_at(self, force_n: float) -> float:
        """Stroke [m] at a force [N]."""
        if force_n >= self.force_n[-1]:
            return self.full_stroke_m + (force_n - self.force_n[-1]) / self.solid_n_per_m
        return float(np.interp(force_n, self.force_n, self.stroke_m))

    def energy_at(self, stroke_m: float) -> float:
        """Work taken in up to a stroke [J]: the area under the curve."""
        inside = [(x, f) for x, f in zip(self.stroke_m, self.force_n, strict=True) if x < stroke_m]
        points = [*inside, (stroke_m, self.force_at(stroke_m))]
        return math.fsum(0.5 * (f + g) * (y - x) for (x, f), (y, g) in pairwise(points))

    def stroke_for(self, energy_j: float) -> float:
        """Stroke that takes in an energy [J]: `energy_at` solved for the stroke [m]."""
        taken = 0.0
        for (x, f), (y, g) in pairwise(zip(self.stroke_m, self.force_n, strict=True)):
            more = 0.5 * (f + g) * (y - x)
            if taken + more >= energy_j:
                return x + _rise(f, (g - f) / (y - x), energy_j - taken)
            taken += more
        return self.full_stroke_m + _rise(self.force_n[-1], self.solid_n_per_m, energy_j - taken)


def _rise(force_n: float, stiffness_n_per_m: float, energy_j: float) -> float:
    """x with F x + k x^2 / 2 = E."""
    return 2.0 * energy_j / (force_n + math.sqrt(force_n**2 + 2.0 * stiffness_n_per_m * energy_j)) if energy_j > 0.0 else 0.0


def linear_gear(stiffness_n_per_m: float, stroke_m: float, returns: float = 1.0) -> DraftGear:
    """F = k x up to a stroke [m].

    >>> linear_gear(20e6, 0.1).force_at(0.05)
    1000000.0
    """
    return DraftGear((0.0, stroke_m), (0.0, stiffness_n_per_m * stroke_m), returns)


def preloaded_gear(preload_n: float, stiffness_n_per_m: float, stroke_m: float, returns: float = 1.0) -> DraftGear:
    """F = F0 + k x: nothing moves below the preload F0 [N]. Raises OutsideModelError without a preload or a stroke."""
    if not stroke_m > PRELOAD_STROKE_M or not preload_n > 0.0:
        raise OutsideModelError("draft gear: expected a preload above 0 and a stroke")
    strokes = (0.0, PRELOAD_STROKE_M, stroke_m)
    return DraftGear(strokes, (0.0, preload_n, preload_n + stiffness_n_per_m * stroke_m), returns)


def power_law_gear(factor: float, exponent: float, stroke_m: float, returns: float = 1.0) -> DraftGear:
    """F = k x^n, drawn by straight lines between points; exponent n [-], 1 to 5; k in N/m^n.

    Raises OutsideModelError for another exponent.
    """
    if not 1.0 <= exponent <= 5.0:
        raise OutsideModelError(f"draft gear, exponent: found {exponent:g}, expected 1 to 5")
    strokes = np.linspace(0.0, stroke_m, POINTS + 1)
    return DraftGear(tuple(strokes.tolist()), tuple((factor * strokes**exponent).tolist()), returns)


def measured_gear(points: Sequence[tuple[float, float]], returns: float = 1.0) -> DraftGear:
    """Points as (stroke [m], force [N]), with or without (0, 0)."""
    whole = list(points) if points and points[0] == (0.0, 0.0) else [(0.0, 0.0), *points]
    return DraftGear(tuple(x for x, _ in whole), tuple(f for _, f in whole), returns)


def in_series(one: DraftGear, other: DraftGear) -> DraftGear:
    """Two gears pressed against one another: one force, strokes added. The share given back is that of the lesser."""
    top = min(one.force_n[-1], other.force_n[-1])
    forces = sorted({force for force in (*one.force_n, *other.force_n) if force <= top})
    strokes = [one.stroke_at(force) + other.stroke_at(force) for force in forces]
    solid = 1.0 / (1.0 / one.solid_n_per_m + 1.0 / other.solid_n_per_m)
    longer = one if one.force_n[-1] > top else other
    if longer.force_n[-1] > top:
        # The stronger goes on while the weaker is solid.
        more = [force for force in longer.force_n if force > top]
        forces += more
        strokes += [one.stroke_at(force) + other.stroke_at(force) for force in more]
    return DraftGear(tuple(strokes), tuple(forces), min(one.returns, other.returns), solid)


def columns_of(gears: Sequence[DraftGear]) -> Floats:
    """Gears as (gears, 2, points): stroke and force, short ones filled up along their solid end."""
    most = max(len(gear.stroke_m) for gear in gears) + 1
    table = np.empty((len(gears), 2, most))
    for row, gear in enumerate(gears):
        count = len(gear.stroke_m)
        table[row, 0, :count], table[row, 1, :count] = gear.stroke_m, gear.force_n
        for n in range(count, most):
            table[row, 0, n] = gear.full_stroke_m + (n - count + 1)
            table[row, 1, n] = gear.force_n[-1] + gear.solid_n_per_m * (n - count + 1)
    return table
