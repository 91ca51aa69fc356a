"""Friction of air in a pipe: Darcy's factor over all Reynolds numbers."""

from __future__ import annotations

from math import log10

LAMINAR_UP_TO, TURBULENT_FROM = 2300.0, 4000.0
"""Reynolds numbers [-] between which the factor is a straight line."""


def roughness_term(roughness_ratio: float) -> float:
    """The part of Haaland's equation that depends on the wall alone [-]: (roughness over bore / 3.7)^1.11.

    Source: from memory (Haaland 1983).

    >>> round(roughness_term(1.4375e-3) * 1e4, 4)
    1.6377
    """
    return float((roughness_ratio / 3.7) ** 1.11)


def darcy_factor(reynolds: float, roughness_ratio: float) -> float:
    """Darcy friction factor [-] for a Reynolds number [-] above 0 and a roughness over bore [-] up to 0.05.

    64/Re up to 2300, Haaland from 4000, linear in Re between. Source: from memory (Haaland 1983); within 1.5 % of the
    Colebrook equation.

    >>> round(darcy_factor(1e3, 1.4375e-3), 3), round(darcy_factor(1e5, 1.4375e-3), 6)
    (0.064, 0.023383)
    """
    return darcy_factor_of_term(reynolds, roughness_term(roughness_ratio))


def darcy_factor_of_term(reynolds: float, term: float) -> float:
    """``darcy_factor`` with the wall's term [-] worked out beforehand; one closed piece of arithmetic, fit to be compiled.

    Source: from memory (Haaland 1983).

    >>> darcy_factor_of_term(1000.0, 0.0)
    0.064
    """
    if reynolds <= LAMINAR_UP_TO:
        return 64.0 / reynolds
    root = -1.8 * log10(term + 6.9 / max(reynolds, TURBULENT_FROM))
    rough = 1.0 / (root * root)
    if reynolds >= TURBULENT_FROM:
        return rough
    share = (reynolds - LAMINAR_UP_TO) / (TURBULENT_FROM - LAMINAR_UP_TO)
    return (1.0 - share) * 64.0 / LAMINAR_UP_TO + share * rough
