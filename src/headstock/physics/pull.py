"""Pulling against a joint at a stand: what the coupling carries, how soon one would see an open one, what hauling takes.

Forces along the track, away from the joint positive. An own brake left on takes up the pull before the coupling sees any of it.
"""

from __future__ import annotations

import math

from headstock.base.errors import OutsideModelError
from headstock.physics.gradient import G_M_S2, slope_force_n


def coupling_pull_n(pull_n: float, mass_kg: float, gradient: float, own_brake_n: float = 0.0) -> float:
    """Pull that reaches the coupling of a standing unit.

    Equation: T = max(F + m g sin - B, 0), sin positive where the hill draws the unit away from the joint. Parameters: pull_n F
    [N], 0 or above; mass_kg m [kg]; gradient [rise/run], positive falling away from the joint; own_brake_n B [N], 0 or above.
    Returns: [N]. Raises: OutsideModelError beyond these ranges. Source: statics.

    >>> round(coupling_pull_n(0.0, 200e3, 0.02) / 1e3, 1)
    39.2
    """
    for name, value in (("pull_n", pull_n), ("own_brake_n", own_brake_n)):
        if not 0.0 <= value < math.inf:
            raise OutsideModelError(f"{name}: found {value:g}, expected a finite force of 0 or above")
    return max(pull_n + slope_force_n(mass_kg, gradient) - own_brake_n, 0.0)


def seconds_to_move(distance_m: float, net_n: float, mass_kg: float, rotating_mass_share: float) -> float:
    """How long a unit that nothing holds back takes to move a distance from rest.

    Equation: t = sqrt(2 s m (1 + r) / F). Returns: [s]. Raises: OutsideModelError for a force of 0 or below: it never moves.
    Source: closed form.

    >>> round(seconds_to_move(0.5, 100e3, 200e3, 0.0), 3)
    1.414
    """
    if not net_n > 0.0:
        raise OutsideModelError(f"net_n: found {net_n:g}, expected a force that moves the unit")
    return math.sqrt(2.0 * distance_m * mass_kg * (1.0 + rotating_mass_share) / net_n)


def hauling_pull_n(
    trailing_kg: float, acceleration_m_s2: float, rotating_mass_share: float, resistance_n: float, gradient: float
) -> float:
    """Pull in the coupling when a portion is hauled.

    Equation: T = m ((1 + r) a + g sin) + R, rising ahead positive. Returns: [N], below 0 where it pushes. Raises:
    OutsideModelError beyond a gradient of 0.15. Source: closed form (Newton's second law).

    >>> round(hauling_pull_n(200e3, 0.5, 0.08, 5e-3 * 200e3 * 9.80665, 0.0) / 1e3, 1)
    117.8
    """
    inertia = trailing_kg * (1.0 + rotating_mass_share) * acceleration_m_s2
    return inertia + slope_force_n(trailing_kg, gradient) + resistance_n


def steepest_start(pull_n: float, mass_kg: float, breakaway_n: float) -> float:
    """Steepest rise [rise/run] on which a pull [N] still starts a mass [kg] against what holds it fast at a stand [N].

    Equation: m g sin = F - R. Returns: below 0 where it starts on no level road either. Source: statics.
    """
    share = (pull_n - breakaway_n) / (mass_kg * G_M_S2)
    share = min(max(share, -0.5), 0.5)
    return share / math.sqrt(1.0 - share**2)
