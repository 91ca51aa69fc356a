"""How far temperature alone moves a shut pipe's gauge: cooling is no leak, and the rebound after a fast exhaust no refill.

Ideal gas in a fixed volume: p2 = p1 T2 / T1 (absolute). Air that expanded without heat and warms again to where it began rises
by p ((p0 / p)^(2/7) - 1) at most, with gamma 7/5.
"""

from __future__ import annotations

from headstock.base.conversion import ATMOSPHERE_PA

ATMOSPHERE_BAR = ATMOSPHERE_PA / 1e5
EXPONENT = 2.0 / 7.0


def drop_by_cooling_bar(gauge_bar: float, from_k: float, to_k: float) -> float:
    """How far a gauge [bar] falls because the air cools from one temperature to another [K]; negative where it warms."""
    return (gauge_bar + ATMOSPHERE_BAR) * (1.0 - to_k / from_k)


def greatest_rebound_bar(before_bar: float, after_bar: float) -> float:
    """The most [bar] that a gauge can creep up after a fall from one gauge pressure to another, without any air let in."""
    before, after = before_bar + ATMOSPHERE_BAR, after_bar + ATMOSPHERE_BAR
    return after * ((before / after) ** EXPONENT - 1.0) if before > after else 0.0
