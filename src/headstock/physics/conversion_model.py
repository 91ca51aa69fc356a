"""Deceleration steps and build-up times from a braked weight percentage and a length, as train control reckons with them.

Source: SUBSET-026, 3.13.3.2 and A.3.7 to A.3.9. Speeds in km/h, as the specification has them.
"""

from __future__ import annotations

from typing import Literal

from headstock.base.errors import OutsideModelError
from headstock.physics.speed_law import KMH, SpeedLaw, stepped_law

Position = Literal["passenger P", "freight P", "freight G"]
UP_TO_KMH = 200.0
LENGTH_UP_TO_M: dict[Position, float] = {"passenger P": 900.0, "freight P": 1500.0, "freight G": 1500.0}
SERVICE_CAP_PERCENT = 135.0
"""A greater percentage counts as this one in service braking."""
CUBICS = (
    (100.0, (-6.30e-7, 6.10e-5, 4.72e-3, 0.0663)),
    (120.0, (2.73e-7, -4.54e-6, 5.14e-3, 0.1300)),
    (150.0, (5.58e-8, -6.76e-6, 5.81e-3, 0.0479)),
    (180.0, (3.00e-8, -3.85e-6, 5.52e-3, 0.0480)),
    (UP_TO_KMH, (3.23e-9, 1.66e-6, 5.06e-3, 0.0559)),
)
"""Up to a speed [km/h]: a3, a2, a1, a0 of the percentage."""
TARGET_FACTOR: dict[Position, float] = {"passenger P": 1.20, "freight P": 1.20, "freight G": 1.16}
REACTION_S: dict[Position, tuple[float, float]] = {
    "passenger P": (1.42, 1.06), "freight P": (2.99, 2.07), "freight G": (9.30, 5.70),
}  # fmt: skip
"""Until the force begins [s]: emergency, full service."""


def _percent(percent: float, is_service: bool) -> float:
    if not 30.0 <= percent <= 250.0:
        raise OutsideModelError(f"braked weight percentage: found {percent:g} %, published for 30 to 250 %")
    return min(percent, SERVICE_CAP_PERCENT) if is_service else percent


def _hundreds(length_m: float, position: Position) -> float:
    if not 0.0 <= length_m <= LENGTH_UP_TO_M[position]:
        raise OutsideModelError(
            f"train length: found {length_m:g} m, published for 0 to {LENGTH_UP_TO_M[position]:g} m ({position})"
        )
    return length_m / 100.0


def first_step(percent: float, is_service: bool = False) -> tuple[float, float]:
    """Up to which speed [km/h] the first step reaches, and its deceleration [m/s2].

    Equations: V = 16.85 lambda^0.428, A = 0.0075 lambda + 0.076. Parameter: percent lambda [%], 30 to 250.
    Raises: OutsideModelError beyond the range. Source: SUBSET-026, A.3.7.1-4.

    >>> tuple(round(value, 4) for value in first_step(100.0))
    (120.9483, 0.826)
    """
    lam = _percent(percent, is_service)
    return 16.85 * lam**0.428, 0.0075 * lam + 0.076


def later_step(percent: float, speed_kmh: float, is_service: bool = False) -> float:
    """Deceleration [m/s2] of the further step in which a speed [km/h] lies, an edge counted below.

    Equation: a3 lambda^3 + a2 lambda^2 + a1 lambda + a0. Raises: OutsideModelError beyond 30 to 250 % or 0 to 200 km/h.
    Source: SUBSET-026, A.3.7.5-6.

    >>> round(later_step(100.0, 150.0), 4)
    0.6171
    """
    lam = _percent(percent, is_service)
    if not 0.0 <= speed_kmh <= UP_TO_KMH:
        raise OutsideModelError(f"speed: found {speed_kmh:g} km/h, published for 0 to {UP_TO_KMH:g} km/h")
    a3, a2, a1, a0 = next(coefficients for up_to, coefficients in CUBICS if speed_kmh <= up_to)
    return ((a3 * lam + a2) * lam + a1) * lam + a0


def deceleration_law(percent: float, is_service: bool = False) -> SpeedLaw:
    """All steps together as a law of speed: deceleration [m/s2], up to 200 km/h. Source: SUBSET-026, A.3.7."""
    limit, first = first_step(percent, is_service)
    steps = [(0.0, first)]
    lower = 0.0
    for up_to, _ in CUBICS:
        if up_to > limit:
            steps.append((max(lower, limit) * KMH, later_step(percent, up_to, is_service)))
        lower = up_to
    return stepped_law(f"conversion model for {percent:g} %", steps, UP_TO_KMH * KMH)


def emergency_build_up_s(length_m: float, position: Position = "passenger P") -> float:
    """Equivalent free run of an emergency stop.

    Equations: 2.30 + 0.17 (L/100)^2 in P, 12.00 + 0.05 (L/100)^2 in G, L at least 400 m; beyond 900 m
    -0.40 + 1.60 (L/100) + 0.03 (L/100)^2. Returns: [s]. Raises: OutsideModelError beyond 900 m (freight 1500 m).
    Source: SUBSET-026, A.3.8.1-3.

    >>> emergency_build_up_s(200.0), round(emergency_build_up_s(700.0), 3)
    (5.02, 10.63)
    """
    n = max(_hundreds(length_m, position), 4.0)
    if n > 9.0:
        return -0.40 + 1.60 * n + 0.03 * n**2
    return 12.00 + 0.05 * n**2 if position == "freight G" else 2.30 + 0.17 * n**2


def service_build_up_s(length_m: float, position: Position = "passenger P") -> float:
    """Equivalent free run of a full service stop.

    Equations: passenger 3.00 + 1.50 (L/100) + 0.10 (L/100)^2; freight 3.00 + 2.77 (L/100), beyond 900 m
    10.50 + 0.32 (L/100) + 0.18 (L/100)^2; in G L at least 400 m. Returns: [s]. Raises: as the emergency one.
    Source: SUBSET-026, A.3.9.1-3.

    >>> round(service_build_up_s(100.0), 3), round(service_build_up_s(400.0), 3)
    (4.6, 10.6)
    """
    n = _hundreds(length_m, position)
    if position == "passenger P":
        return 3.00 + 1.50 * n + 0.10 * n**2
    n = max(n, 4.0) if position == "freight G" else n
    return 10.50 + 0.32 * n + 0.18 * n**2 if n > 9.0 else 3.00 + 2.77 * n


def emergency_distance_m(percent: float, length_m: float, speed_kmh: float, position: Position = "passenger P") -> float:
    """Emergency stop on the level by the whole model: free run of the build-up, then step by step, no correction factors.

    Parameters: percent [%], 30 to 250; length_m [m]; speed_kmh, 0 to 200. Returns: [m]. Raises: OutsideModelError beyond these.
    Source: SUBSET-026, A.3.7 and A.3.8.

    >>> round(emergency_distance_m(100.0, 200.0, 100.0), 1)
    606.5
    """
    law = deceleration_law(percent)
    speed = speed_kmh * KMH
    total = emergency_build_up_s(length_m, position) * speed
    law.at(speed)
    for number, band in enumerate(law.bands):
        top = min(speed, law.bands[number + 1].from_m_s if number + 1 < len(law.bands) else law.up_to_m_s)
        if top > band.from_m_s:
            total += (top**2 - band.from_m_s**2) / (2.0 * band.at_rest)
    return total


def to_a_target_s(build_up_s: float, position: Position = "passenger P") -> float:
    """Free run when braking to a target above zero: 1.20 times in P, 1.16 in G. Source: SUBSET-026, A.3.8.5."""
    return TARGET_FACTOR[position] * build_up_s
