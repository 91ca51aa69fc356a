"""Where a vehicle's end stands beside the track on a curve, and at which angle two such ends face one another.

A vehicle is a straight line whose two bogie centres (two axles) lie on the middle of the track; its end stands out by
the overhang beyond them, symmetric at both ends. Play of bogies, tilt and transition curves are left out.
"""

import math

from headstock.base.errors import OutsideModelError

MIN_RADIUS_M, MAX_RADIUS_M = 25.0, 100_000.0
"""Radii answered for [m]: from the sharpest street railway to what nobody tells from straight (common practice)."""


def _checked(bogie_centres_m: float, overhang_m: float, radius_m: float) -> None:
    for name, value in (("bogie_centres_m", bogie_centres_m), ("overhang_m", overhang_m)):
        if not (math.isfinite(value) and value >= 0.0):
            raise OutsideModelError(f"{name}: found {value:g}, expected a finite length of 0 or more")
    least = max(MIN_RADIUS_M, bogie_centres_m / 2.0 + overhang_m)
    if not least <= radius_m <= MAX_RADIUS_M:
        raise OutsideModelError(f"radius_m: found {radius_m:g}, expected {least:g} to {MAX_RADIUS_M:g}")


def overhang(length_m: float, bogie_centres_m: float) -> float:
    """Overhang of a vehicle beyond its bogie centres, alike at both ends.

    Equation: u = (L - 2a) / 2. Parameters: length_m L [m] over couplers, above bogie_centres_m 2a [m].
    Returns: u [m]. Raises: OutsideModelError where the bogies would stand outside. Source: definition.

    >>> overhang(23.0, 16.0)
    3.5
    """
    if not 0.0 < bogie_centres_m < length_m < math.inf:
        raise OutsideModelError(f"bogie_centres_m: found {bogie_centres_m:g}, expected above 0 and below {length_m:g}")
    return (length_m - bogie_centres_m) / 2.0


def outward_throw(bogie_centres_m: float, overhang_m: float, radius_m: float) -> float:
    """How far a vehicle's end stands out of the middle of the track, to the outside of the curve; for small angles.

    Equation: y = u (2a + u) / (2 R), never less than the exact one. Parameters: bogie_centres_m 2a [m], 0 or more;
    overhang_m u [m], 0 or more; radius_m R [m], 25 to 100 000 and no less than a + u. Returns: y [m].
    Raises: OutsideModelError beyond the ranges. Source: geometry (intersecting chords).

    >>> round(outward_throw(16.0, 3.5, 150.0), 3)
    0.228
    """
    _checked(bogie_centres_m, overhang_m, radius_m)
    return overhang_m * (bogie_centres_m + overhang_m) / (2.0 * radius_m)


def exact_outward_throw(bogie_centres_m: float, overhang_m: float, radius_m: float) -> float:
    """The same without taking angles for small, measured from the middle of the track towards the curve's outside.

    Equation: y = sqrt(R^2 + u (2a + u)) - R. Parameters, ranges, errors: as `outward_throw`. Returns: y [m].
    Source: geometry (power of a point).

    >>> round(exact_outward_throw(16.0, 3.5, 150.0), 4)
    0.2273
    """
    _checked(bogie_centres_m, overhang_m, radius_m)
    past = overhang_m * (bogie_centres_m + overhang_m)
    return past / (math.sqrt(radius_m**2 + past) + radius_m)


def end_angle(bogie_centres_m: float, overhang_m: float, radius_m: float) -> float:
    """Angle between a vehicle and the track at its end.

    Equation: angle = atan((a + u) / sqrt(R^2 - a^2)). Parameters, ranges, errors: as `outward_throw`. Returns: [rad].
    Two ends on one curve face one another at the sum of their angles, on a reverse curve at the difference.
    Source: geometry.

    >>> round(math.degrees(end_angle(16.0, 3.5, 150.0)), 2)
    4.39
    """
    _checked(bogie_centres_m, overhang_m, radius_m)
    half_m = bogie_centres_m / 2.0
    return math.atan2(half_m + overhang_m, math.sqrt(radius_m**2 - half_m**2))
