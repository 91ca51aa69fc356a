"""A figure that depends on speed: friction, adhesion, force. Bands of one form, which covers all laws in use exactly.

In a band the figure is (p + r v) / (1 + q v), v in m/s: constant, straight line, and the published quotients alike. Bands may
jump at their edges; the integration stops at each edge, so that no step straddles one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from headstock.base.errors import OutsideModelError

KMH = 1.0 / 3.6
"""One km/h [m/s] (exact by definition)."""


@dataclass(frozen=True, slots=True)
class SpeedBand:
    """From a speed [m/s] on: (at_rest + per_m_s v) / (1 + bend_s_m v)."""

    from_m_s: float
    at_rest: float
    per_m_s: float = 0.0
    bend_s_m: float = 0.0

    def at(self, speed_m_s: float) -> float:
        """The figure at a speed [m/s], whether or not the band reaches so far."""
        return (self.at_rest + self.per_m_s * speed_m_s) / (1.0 + self.bend_s_m * speed_m_s)


@dataclass(frozen=True, slots=True)
class SpeedLaw:
    """Bands from standstill up, answered for up to a speed [m/s]; never used beyond it."""

    name: str
    bands: tuple[SpeedBand, ...]
    up_to_m_s: float

    def band_at(self, speed_m_s: float) -> SpeedBand:
        """The band a speed [m/s] lies in, the upper one at an edge. Raises OutsideModelError beyond the range."""
        if not 0.0 <= speed_m_s <= self.up_to_m_s * (1.0 + 1e-12):
            raise OutsideModelError(
                f"{self.name}: found {speed_m_s / KMH:g} km/h, published for 0 to {self.up_to_m_s / KMH:g} km/h"
            )
        return next(band for band in reversed(self.bands) if band.from_m_s <= speed_m_s)

    def at(self, speed_m_s: float) -> float:
        """The figure at a speed [m/s]. Raises OutsideModelError beyond the range."""
        return self.band_at(speed_m_s).at(speed_m_s)


def constant_law(name: str, value: float, up_to_m_s: float) -> SpeedLaw:
    """The same at every speed. Parameters: value [-] or [N], finite; up_to_m_s [m/s].

    >>> constant_law("pads", 0.35, 60.0).at(20.0)
    0.35
    """
    return SpeedLaw(name, (SpeedBand(0.0, _finite(name, value)),), up_to_m_s)


def stepped_law(name: str, steps: Sequence[tuple[float, float]], up_to_m_s: float) -> SpeedLaw:
    """Steps as (from [m/s], value), from 0 up. Raises OutsideModelError when they are out of order.

    >>> stepped_law("steps", [(0.0, 1.2), (47.2, 1.05)], 64.0).at(50.0)
    1.05
    """
    _in_order(name, [at for at, _ in steps])
    return SpeedLaw(name, tuple(SpeedBand(at, _finite(name, value)) for at, value in steps), up_to_m_s)


def law_through(name: str, points: Sequence[tuple[float, float]]) -> SpeedLaw:
    """Straight lines through points (speed [m/s], value), the first at 0; answered for up to the last.

    Raises OutsideModelError when they are out of order.

    >>> round(law_through("pads", [(0.0, 0.3), (20.0, 0.4)]).at(10.0), 6)
    0.35
    """
    _in_order(name, [at for at, _ in points])
    bands = []
    for (low, value), (high, after) in pairwise(points):
        slope = (_finite(name, after) - _finite(name, value)) / (high - low)
        bands.append(SpeedBand(low, value - slope * low, slope))
    return SpeedLaw(name, tuple(bands) or (SpeedBand(0.0, points[0][1]),), points[-1][0])


def _finite(name: str, value: float) -> float:
    if not math.isfinite(value):
        raise OutsideModelError(f"{name}: found {value:g}, expected a finite number")
    return value


def _in_order(name: str, speeds: Sequence[float]) -> None:
    if not speeds or speeds[0] != 0.0 or any(not low < high for low, high in pairwise(speeds)):
        raise OutsideModelError(f"{name}: found speeds {', '.join(f'{v:g}' for v in speeds)}, expected them rising from 0")
