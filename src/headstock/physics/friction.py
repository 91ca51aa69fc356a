"""Friction of air in a pipe: Darcy's factor over all Reynolds numbers."""

from __future__ import annotations

from math import log10

LAMINAR_UP_TO, TURBULENT_FROM = 2300.0, 4000.0
"""Reynolds numbers [-] between which the factor is a straight line."""


def darcy_factor(reynolds: float, roughness_ratio: float) -> float:
    """Darcy friction factor [-] for a Reynolds number [-] above 0 and a roughness over bore [-] up to 0.05.

    64/Re up to 2300, Haaland from 4000, linear in Re between. Source: from memory (Haaland 1983); within 1.5 % of the
    Colebrook equation.

    >>> round(darcy_factor(1e3, 1.4375e-3), 3), round(darcy_factor(1e5, 1.4375e-3), 6)
    (0.064, 0.023383)
    """
    if reynolds <= LAMINAR_UP_TO:
        return 64.0 / reynolds
    if reynolds >= TURBULENT_FROM:
        return _haaland(reynolds, roughness_ratio)
    share = (reynolds - LAMINAR_UP_TO) / (TURBULENT_FROM - LAMINAR_UP_TO)
    return (1.0 - share) * 64.0 / LAMINAR_UP_TO + share * _haaland(TURBULENT_FROM, roughness_ratio)


def _haaland(reynolds: float, roughness_ratio: float) -> float:
    root = -1.8 * log10((roughness_ratio / 3.7) ** 1.11 + 6.9 / reynolds)
    return 1.0 / (root * root)
