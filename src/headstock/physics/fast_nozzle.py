"""Compiled flow through openings as the fast solver takes it: a fitted flow function, and a valve's two halves with slopes.

Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from headstock.physics import orifice
from headstock.physics._compile import within
from headstock.physics.eight import root, select

CHOKED = orifice.CHOKED_COEFFICIENT
CRITICAL = orifice.CRITICAL_RATIO
LINEAR_FROM = orifice.LINEAR_FROM
LEAST_DROP_PA = 10.0
"""Below this drop a choke is taken as linear: its slope would have no bound."""


def fitted_flow_function() -> tuple[float, ...]:
    """Coefficients of a quartic h with psi^2 = (1 - r) h(r) between the critical ratio and 0.999, by least squares."""
    ratio = 0.5 * (CRITICAL + LINEAR_FROM) + 0.5 * (LINEAR_FROM - CRITICAL) * np.cos(np.linspace(0.0, np.pi, 400))
    psi = np.array([orifice.flow_function(float(r)) for r in ratio])
    return tuple(float(c) for c in np.polyfit(ratio, psi**2 / (1.0 - ratio), 4))


H4, H3, H2, H1, H0 = fitted_flow_function()
PSI_AT_LINEAR = float(np.sqrt((1.0 - LINEAR_FROM) * np.polyval((H4, H3, H2, H1, H0), LINEAR_FROM)))


@within
def square(ratio: Any) -> Any:
    """h(r) with psi^2 = (1 - r) h(r)."""
    return (((H4 * ratio + H3) * ratio + H2) * ratio + H1) * ratio + H0


@within
def psi_of(ratio: Any) -> Any:
    """The flow function by selection alone, of one number or of eight: choked, fitted, a straight line above 0.999."""
    r = select(ratio > CRITICAL, ratio, CRITICAL)
    r = select(r < LINEAR_FROM, r, LINEAR_FROM)
    psi = root((1.0 - r) * square(r))
    line = PSI_AT_LINEAR * (1.0 / (1.0 - LINEAR_FROM)) * select(ratio < 1.0, 1.0 - ratio, 0.0)
    return select(ratio > LINEAR_FROM, line, psi)


@within
def psi_and_slope(ratio: Any) -> Any:
    """The same, and d psi / d r."""
    r = select(ratio > CRITICAL, ratio, CRITICAL)
    r = select(r < LINEAR_FROM, r, LINEAR_FROM)
    h = square(r)
    bend = ((4.0 * H4 * r + 3.0 * H3) * r + 2.0 * H2) * r + H1
    psi = root((1.0 - r) * h)
    slope = select(ratio > CRITICAL, 0.5 * ((1.0 - r) * bend - h) / psi, 0.0)
    rest = select(ratio < 1.0, 1.0 - ratio, 0.0)
    psi = select(ratio > LINEAR_FROM, PSI_AT_LINEAR * (1.0 / (1.0 - LINEAR_FROM)) * rest, psi)
    slope = select(ratio > LINEAR_FROM, -PSI_AT_LINEAR * (1.0 / (1.0 - LINEAR_FROM)), slope)
    return psi, select(ratio < 1.0, slope, 0.0)


@within
def fed(supply: Any, feed: Any, feed_to: Any, droop: Any, face: Any, over_root: Any) -> Any:
    """What a valve lets in [kg/s] at a face pressure [Pa], and its slopes over the face's and the supply's pressure."""
    over_droop = 1.0 / droop
    source = select(supply > 1.0, supply, 1.0)
    ratio = face / source
    psi, lean = psi_and_slope(ratio)
    whole = (feed_to - face) * over_droop
    share = select(whole > 0.0, whole, 0.0)
    share = select(share < 1.0, share, 1.0)
    bend = select(share == whole, -over_droop, 0.0)
    most = feed * over_root
    return most * share * source * psi, most * (share * lean + bend * source * psi), most * share * (psi - ratio * lean)


@within
def let_out(outlet: Any, out_to: Any, droop: Any, outside: Any, face: Any, rise: Any, over_root: Any) -> Any:
    """What a valve lets out [kg/s] at a face pressure [Pa], and its slope.

    ``rise``: stagnation over static pressure; ``outside``: the atmosphere's pressure [Pa].
    """
    over_droop = 1.0 / droop
    ratio = outside / (face * rise)
    psi, lean = psi_and_slope(ratio)
    whole = (face - out_to) * over_droop
    share = select(whole > 0.0, whole, 0.0)
    share = select(share < 1.0, share, 1.0)
    bend = select(share == whole, over_droop, 0.0)
    slope = outlet * rise * over_root * (share * (psi - ratio * lean) + bend * face * psi)
    return outlet * over_root * share * face * rise * psi, slope
