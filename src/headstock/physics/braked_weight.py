"""Braked weight percentage from a stopping distance and back, for one vehicle or a train rated as one, brake position P."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.errors import OutsideModelError

LEAST_PERCENT, MOST_PERCENT = 30.0, 250.0
"""Percentages answered for; below and above them the curve was never meant (from memory)."""


@dataclass(frozen=True, slots=True)
class PercentCurve:
    """lambda = C / s - D at one initial speed [km/h]; C [m %], D [%]."""

    speed_kmh: float
    c_m: float
    d: float


CURVES = {100.0: PercentCurve(100.0, 52840.0, 10.0), 120.0: PercentCurve(120.0, 83634.0, 19.0)}
"""By initial speed [km/h] (UIC 544-1, from memory; they give back all six pairs of the wagon regulation)."""
RESPONSE_S = 2.0
"""Equivalent free run of a single wagon in the six pairs [s] (WAG-TSI-321-2013, appendix C 9)."""


def _curve(speed_kmh: float) -> PercentCurve:
    if speed_kmh not in CURVES:
        known = " or ".join(f"{speed:g}" for speed in CURVES)
        raise OutsideModelError(f"braked weight percentage: found {speed_kmh:g} km/h, the curve is known for {known} km/h")
    return CURVES[speed_kmh]


def percent_of_distance(distance_m: float, speed_kmh: float) -> float:
    """Braked weight percentage from the stopping distance on the level.

    Equation: lambda = C / s - D. Parameters: distance_m s [m]; speed_kmh 100 or 120.
    Returns: [%]. Raises: OutsideModelError for another speed, or where the answer lies outside 30 to 250 %.
    Source: UIC 544-1, from memory.

    >>> round(percent_of_distance(700.0, 120.0), 1)
    100.5
    """
    curve = _curve(speed_kmh)
    if not distance_m > 0.0:
        raise OutsideModelError(f"distance_m: found {distance_m:g}, expected a distance above 0")
    return _within(curve.c_m / distance_m - curve.d)


def distance_of_percent(percent: float, speed_kmh: float) -> float:
    """Stopping distance on the level: `percent_of_distance` solved for the distance [m].

    >>> round(distance_of_percent(100.0, 100.0), 1)
    480.4
    """
    curve = _curve(speed_kmh)
    return curve.c_m / (_within(percent) + curve.d)


def beyond_range_distance(percent: float, speed_kmh: float) -> tuple[float, bool]:
    """The same [m] with whether it lies outside the range: for what a train with most brakes cut out would do, so marked."""
    curve = _curve(speed_kmh)
    return curve.c_m / (percent + curve.d), not LEAST_PERCENT <= percent <= MOST_PERCENT


def _within(percent: float) -> float:
    if not LEAST_PERCENT <= percent <= MOST_PERCENT:
        raise OutsideModelError(
            f"braked weight percentage: found {percent:.1f} %, answered for {LEAST_PERCENT:g} to {MOST_PERCENT:g} %"
        )
    return percent


def rated_percent(braked_weights_t: tuple[float, ...], masses_t: tuple[float, ...]) -> float:
    """Braked weight percentage of a train: sum of braked weights over sum of masses. Raises OutsideModelError without a mass.

    >>> rated_percent((120.0, 0.0), (100.0, 100.0))
    60.0
    """
    if not sum(masses_t) > 0.0:
        raise OutsideModelError("masses_t: found none, expected a mass above 0")
    return 100.0 * sum(braked_weights_t) / sum(masses_t)


def mean_deceleration_m_s2(distance_m: float, speed_kmh: float, response_s: float = RESPONSE_S) -> float:
    """Deceleration once built up that gives a distance after a free run.

    Equation: a = v^2 / (2 (s - v Te)). Raises: OutsideModelError where the free run alone is longer.
    Source: WAG-TSI-321-2013, appendix C 9.

    >>> round(mean_deceleration_m_s2(700.0, 100.0), 4)
    0.5987
    """
    speed = speed_kmh / 3.6
    if not distance_m > speed * response_s:
        raise OutsideModelError(f"distance_m: found {distance_m:g}, the free run alone takes {speed * response_s:g} m")
    return speed**2 / (2.0 * (distance_m - speed * response_s))


def distance_of_deceleration_m(deceleration_m_s2: float, speed_kmh: float, response_s: float = RESPONSE_S) -> float:
    """`mean_deceleration_m_s2` solved for the distance [m]. Raises OutsideModelError for a deceleration of nothing or less.

    >>> round(distance_of_deceleration_m(0.5987, 100.0))
    700
    """
    speed = speed_kmh / 3.6
    if not deceleration_m_s2 > 0.0:
        raise OutsideModelError(f"deceleration_m_s2: found {deceleration_m_s2:g}, expected above 0")
    return speed * response_s + speed**2 / (2.0 * deceleration_m_s2)
