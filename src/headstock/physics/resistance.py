"""Running resistance of a train: three coefficients as data, and the modified Davis form for freight cars.

Resistance helps a train to stop and hinders one that hauls. Left out of a stop it is on the safe side; for standing it counts
nothing; for hauling it is always in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from headstock.base.errors import OutsideModelError

POUND_FORCE_N, SHORT_TON_KG = 4.448_221_615_260_5, 907.184_74
DAVIS_UP_TO_MPH = 80.0
"""Speed answered for [mph]: beyond it nobody has measured freight cars (common practice)."""


@dataclass(frozen=True, slots=True)
class RunningResistance:
    """R = a + b v + c v^2 [N], v [m/s], answered for up to a speed."""

    constant_n: float
    per_m_s_n: float
    per_m2_s2_n: float
    up_to_m_s: float

    def at_n(self, speed_m_s: float) -> float:
        """Resistance [N] at a speed [m/s]. Raises OutsideModelError beyond the range."""
        if not 0.0 <= speed_m_s <= self.up_to_m_s:
            raise OutsideModelError(
                f"running resistance: found {speed_m_s * 3.6:g} km/h, given for 0 to {self.up_to_m_s * 3.6:g} km/h"
            )
        return self.constant_n + self.per_m_s_n * speed_m_s + self.per_m2_s2_n * speed_m_s**2


def summed(parts: tuple[RunningResistance, ...]) -> RunningResistance:
    """Of units coupled: coefficients added, answered for up to the least range. Source: common practice."""
    return RunningResistance(
        math.fsum(part.constant_n for part in parts), math.fsum(part.per_m_s_n for part in parts),
        math.fsum(part.per_m2_s2_n for part in parts), min(part.up_to_m_s for part in parts),
    )  # fmt: skip


def modified_davis_lb_per_ton(tons_per_axle: float, axles: int, speed_mph: float, air_factor: float = 0.07) -> float:
    """Resistance of a freight car.

    Equation: R = 0.6 + 20 / w + 0.01 V + K V^2 / (w n). Parameters: tons_per_axle w [short tons], 5 to 45; axles n [-], 2 to 16;
    speed_mph V [mph], 0 to 80; air_factor K: 0.07 conventional, 0.0935 containers, 0.16 trailers on flats.
    Returns: [lb per short ton]. Raises: OutsideModelError beyond these ranges. Source: modified Davis, from memory.

    >>> round(modified_davis_lb_per_ton(32.875, 4, 40.0), 4)
    2.4601
    """
    for name, value, low, high in (("tons_per_axle", tons_per_axle, 5.0, 45.0), ("axles", axles, 2, 16),
                                   ("speed_mph", speed_mph, 0.0, DAVIS_UP_TO_MPH)):  # fmt: skip
        if not low <= value <= high:
            raise OutsideModelError(f"modified Davis, {name}: found {value:g}, answered for {low:g} to {high:g}")
    total = tons_per_axle * axles
    return 0.6 + 20.0 / tons_per_axle + 0.01 * speed_mph + air_factor * speed_mph**2 / total
