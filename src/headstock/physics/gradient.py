"""The pull of a hill: gradients as numbers, the weight along the track and the weight on it.

A gradient is the fraction rise/run, the tangent of the angle to the level; its sign only says which way it falls.
Nothing here counts rolling resistance: a standing train gets no help from it.
"""

import math

from headstock.base.errors import OutsideModelError

G_M_S2 = 9.80665
"""Standard acceleration of free fall [m/s2] (exact by definition, BIPM-SI)."""

MAX_GRADIENT = 0.15
"""Steepest gradient [rise/run] answered for: beyond it no train stands on adhesion (common practice)."""


def _within_range(gradient: float) -> float:
    if not abs(gradient) <= MAX_GRADIENT:
        raise OutsideModelError(
            f"gradient: found {gradient:g}, expected a fraction rise/run from -{MAX_GRADIENT:g} to {MAX_GRADIENT:g}"
        )
    return gradient


def _positive(name: str, value: float) -> float:
    if not (math.isfinite(value) and value > 0.0):
        raise OutsideModelError(f"{name}: found {value:g}, expected a finite number above 0")
    return value


def gradient_from_per_mille(gradient_per_mille: float) -> float:
    """Gradient as a fraction from per mille.

    Equation: i = p / 1000. Parameter: gradient_per_mille [per mille], -150 to 150.
    Returns: gradient [rise/run]. Raises: OutsideModelError beyond the range. Source: definition.

    >>> gradient_from_per_mille(40.0)
    0.04
    """
    return _within_range(gradient_per_mille / 1000.0)


def per_mille_from_gradient(gradient: float) -> float:
    """Gradient in per mille from the fraction.

    Equation: p = 1000 i. Parameter: gradient [rise/run], -0.15 to 0.15.
    Returns: gradient [per mille]. Raises: OutsideModelError beyond the range. Source: definition.

    >>> per_mille_from_gradient(0.016)
    16.0
    """
    return 1000.0 * _within_range(gradient)


def gradient_from_one_in(run_per_rise: float) -> float:
    """Gradient as a fraction from "1 in n".

    Equation: i = 1 / n. Parameter: run_per_rise [-], |n| of at least 6.67; infinite means level.
    Returns: gradient [rise/run]. Raises: OutsideModelError for anything steeper, 0 among them. Source: definition.

    >>> round(gradient_from_one_in(150.0), 6)
    0.006667
    """
    if run_per_rise == 0.0:
        raise OutsideModelError("gradient: found 1 in 0, a wall; expected 1 in n with n of at least 6.67")
    return _within_range(1.0 / run_per_rise)


def one_in_from_gradient(gradient: float) -> float:
    """The n of "1 in n" from the fraction.

    Equation: n = 1 / i. Parameter: gradient [rise/run], -0.15 to 0.15.
    Returns: n [-], infinite on the level. Raises: OutsideModelError beyond the range. Source: definition.

    >>> one_in_from_gradient(0.04)
    25.0
    """
    return math.inf if gradient == 0.0 else 1.0 / _within_range(gradient)


def slope_force_n(mass_kg: float, gradient: float) -> float:
    """Part of the weight that pulls along the track.

    Equation: F = m g sin(atan i) = m g i / sqrt(1 + i^2), exact; at 40 per mille m g i is 0.08 % more.
    Parameters: mass_kg [kg] above 0, the gravitational mass without any rotating share;
    gradient [rise/run], -0.15 to 0.15.
    Returns: force [N] with the sign of the gradient.
    Raises: OutsideModelError beyond these ranges. Source: statics of the inclined plane; g from BIPM-SI.

    >>> round(slope_force_n(200_000.0, 0.010) / 1000.0, 1)
    19.6
    """
    return _positive("mass_kg", mass_kg) * G_M_S2 * _within_range(gradient) / math.hypot(1.0, gradient)


def normal_force_n(mass_kg: float, gradient: float) -> float:
    """Part of the weight that presses on the rails.

    Equation: N = m g cos(atan i) = m g / sqrt(1 + i^2), exact; the shift of weight between axles is not counted.
    Parameters: mass_kg [kg] above 0; gradient [rise/run], -0.15 to 0.15.
    Returns: force [N]. Raises: OutsideModelError beyond these ranges.
    Source: statics of the inclined plane; g from BIPM-SI.

    >>> round(normal_force_n(1000.0, 0.0), 2)
    9806.65
    """
    return _positive("mass_kg", mass_kg) * G_M_S2 / math.hypot(1.0, _within_range(gradient))


def gradient_of_slope_force(force_n: float, mass_kg: float) -> float:
    """Gradient on which a mass pulls with a force: slope_force_n solved for the gradient.

    Equation: i = x / sqrt(1 - x^2), x = F / (m g). Parameters: force_n [N] of either sign; mass_kg [kg] above 0.
    Returns: gradient [rise/run].
    Raises: OutsideModelError for a gradient beyond 0.15. Source: statics of the inclined plane; g from BIPM-SI.

    >>> round(gradient_of_slope_force(slope_force_n(160_000.0, 0.025), 160_000.0), 12)
    0.025
    """
    share = force_n / (_positive("mass_kg", mass_kg) * G_M_S2)
    if not abs(share) < 1.0:
        raise OutsideModelError(f"force_n: found {share:.3g} of the weight, expected less than the weight itself")
    return _within_range(share / math.sqrt((1.0 - share) * (1.0 + share)))


def mass_of_slope_force_kg(force_n: float, gradient: float) -> float:
    """Mass that pulls with a force on a gradient: slope_force_n solved for the mass.

    Equation: m = F sqrt(1 + i^2) / (g i). Parameters: force_n [N] and gradient [rise/run] of the same sign, neither 0.
    Returns: mass [kg]. Raises: OutsideModelError on the level or beyond 0.15, where no mass answers.
    Source: statics of the inclined plane; g from BIPM-SI.

    >>> round(mass_of_slope_force_kg(slope_force_n(160_000.0, 0.025), 0.025), 6)
    160000.0
    """
    pull = _positive("force_n", math.copysign(force_n, force_n * _within_range(gradient)))
    return pull * math.hypot(1.0, gradient) / (G_M_S2 * _positive("gradient", abs(gradient)))


def slope_acceleration_m_s2(gradient: float, rotating_mass_share: float) -> float:
    """Acceleration a gradient gives a freely running train, its turning parts counted.

    Equation: a = g sin(atan i) / (1 + r). Parameters: gradient [rise/run], -0.15 to 0.15;
    rotating_mass_share r [-], 0 or above, the mass equivalent of the turning parts over the mass of the train.
    Returns: acceleration [m/s2] with the sign of the gradient. Raises: OutsideModelError beyond these ranges.
    Source: SUBSET-026, 3.13.4.3.2 (there with i for the sine and g = 9.81).

    >>> round(slope_acceleration_m_s2(-0.009, 0.02), 4)
    -0.0865
    """
    if not 0.0 <= rotating_mass_share < math.inf:
        raise OutsideModelError(f"rotating_mass_share: found {rotating_mass_share:g}, expected 0 or above")
    return slope_force_n(1.0, gradient) / (1.0 + rotating_mass_share)
