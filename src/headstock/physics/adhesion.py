"""What the rail can take: a brake force never passes its adhesion, and how much of a train must be braked to stand."""

import math

from headstock.base.errors import OutsideModelError

MAX_ADHESION = 0.5
"""Highest adhesion [-] answered for: steel on dry sanded steel stays below it (common practice)."""


def _adhesion_within_range(adhesion: float) -> float:
    if not 0.0 < adhesion <= MAX_ADHESION:
        raise OutsideModelError(f"adhesion: found {adhesion:g}, expected above 0 and at most {MAX_ADHESION:g}")
    return adhesion


def _not_negative(name: str, value: float) -> float:
    if not 0.0 <= value < math.inf:
        raise OutsideModelError(f"{name}: found {value:g}, expected a finite number, 0 or above")
    return value


def _share_within_range(braked_share: float) -> float:
    if not 0.0 < braked_share <= 1.0:
        raise OutsideModelError(f"braked_share: found {braked_share:g}, expected above 0 and at most 1")
    return braked_share


def _margin_within_range(margin: float) -> float:
    if not 1.0 <= margin < math.inf:
        raise OutsideModelError(f"margin: found {margin:g}, expected a finite factor of at least 1")
    return margin


def adhesion_limit_n(weight_on_braked_axles_n: float, adhesion: float) -> float:
    """Greatest force the braked wheels can pass to the rail.

    Equation: F_max = mu N. Parameters: weight_on_braked_axles_n [N], 0 or above, the force square to the rail;
    adhesion mu [-], above 0 to 0.5.
    Returns: force [N]. Raises: OutsideModelError beyond these ranges. Source: Coulomb's law of dry friction.

    >>> round(adhesion_limit_n(100_000.0, 0.12), 6)
    12000.0
    """
    return _adhesion_within_range(adhesion) * _not_negative("weight_on_braked_axles_n", weight_on_braked_axles_n)


def adhesion_capped_force_n(brake_force_n: float, weight_on_braked_axles_n: float, adhesion: float) -> float:
    """Brake force that reaches the rail: what the brake gives, or what the rail can take if that is less.

    Equation: F = min(F_B, mu N). Parameters: brake_force_n [N] at the wheel rim, 0 or above;
    weight_on_braked_axles_n [N], 0 or above; adhesion mu [-], above 0 to 0.5.
    Returns: force [N]. Raises: OutsideModelError beyond these ranges.
    Source: Coulomb's law; the parking-brake figure 0.12 is an input (LOCPAS-TSI-1302-2014, 4.2.4.6.1(3)).

    >>> adhesion_capped_force_n(14_000.0, 100_000.0, 0.12), adhesion_capped_force_n(9_000.0, 100_000.0, 0.12)
    (12000.0, 9000.0)
    """
    return min(_not_negative("brake_force_n", brake_force_n), adhesion_limit_n(weight_on_braked_axles_n, adhesion))


def adhesion_asked(brake_force_n: float, weight_on_braked_axles_n: float) -> float:
    """Adhesion that a force asks of the braked wheels: adhesion_limit_n solved for the adhesion.

    Equation: mu = F / N. Parameters: brake_force_n [N], 0 or above; weight_on_braked_axles_n [N], above 0.
    Returns: adhesion [-], more than any rail offers where the brake is too strong for its axles.
    Raises: OutsideModelError beyond these ranges. Source: Coulomb's law of dry friction.

    >>> adhesion_asked(12_000.0, 100_000.0)
    0.12
    """
    if weight_on_braked_axles_n == 0.0:
        raise OutsideModelError("weight_on_braked_axles_n: found 0, expected a weight that presses on the rail")
    weight = _not_negative("weight_on_braked_axles_n", weight_on_braked_axles_n)
    return _not_negative("brake_force_n", brake_force_n) / weight


def smallest_braked_share(gradient: float, adhesion: float, margin: float = 1.0) -> float:
    """Smallest share of the weight that must stand on braked axles for the rail to hold a train on a gradient.

    Equation: q = S |i| / mu, exact: sine over cosine is the tangent, and the gradient is the tangent.
    Parameters: gradient i [rise/run], finite, of either sign; adhesion mu [-], above 0 to 0.5;
    margin S [-], 1 or above.
    Returns: share [-]; above 1 no number of brakes holds the train.
    Raises: OutsideModelError beyond these ranges.
    Source: statics; LOCPAS-TSI-1302-2014, 4.2.4.5.5 with 4.2.4.6.1(3), gives 0.040 / 0.12.

    >>> round(smallest_braked_share(0.040, 0.12), 4)
    0.3333
    """
    return _margin_within_range(margin) * _not_negative("gradient", abs(gradient)) / _adhesion_within_range(adhesion)


def gradient_held_by_adhesion(braked_share: float, adhesion: float, margin: float = 1.0) -> float:
    """Steepest gradient the rail can hold: smallest_braked_share solved for the gradient.

    Equation: i = mu q / S. Parameters: braked_share q [-], above 0 to 1; adhesion mu [-], above 0 to 0.5;
    margin S [-], 1 or above.
    Returns: gradient [rise/run]. Raises: OutsideModelError beyond these ranges. Source: statics.

    >>> round(gradient_held_by_adhesion(0.5, 0.12), 6)
    0.06
    """
    return _adhesion_within_range(adhesion) * _share_within_range(braked_share) / _margin_within_range(margin)


def adhesion_asked_on_gradient(braked_share: float, gradient: float, margin: float = 1.0) -> float:
    """Adhesion a standing train asks of its braked axles: smallest_braked_share solved for the adhesion.

    Equation: mu = S |i| / q. Parameters: braked_share q [-], above 0 to 1; gradient i [rise/run], finite;
    margin S [-], 1 or above.
    Returns: adhesion [-]. Raises: OutsideModelError beyond these ranges. Source: statics.

    >>> adhesion_asked_on_gradient(0.25, 0.04)
    0.16
    """
    return _margin_within_range(margin) * _not_negative("gradient", abs(gradient)) / _share_within_range(braked_share)
