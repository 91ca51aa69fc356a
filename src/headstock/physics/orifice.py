"""Flow of air through an orifice of a given effective area, choked or not."""

from __future__ import annotations

from math import sqrt

from headstock.physics.gas import GAS_CONSTANT_J_KG_K, HEAT_RATIO

CRITICAL_RATIO: float = (2.0 / (HEAT_RATIO + 1.0)) ** (HEAT_RATIO / (HEAT_RATIO - 1.0))
"""Pressure ratio at and below which the flow is choked [-]: 0.528."""
CHOKED_COEFFICIENT: float = sqrt(HEAT_RATIO) * (2.0 / (HEAT_RATIO + 1.0)) ** ((HEAT_RATIO + 1.0) / (2.0 * (HEAT_RATIO - 1.0)))
"""Flow function of a choked orifice [-]: 0.685."""
LINEAR_FROM = 0.999
"""Above this ratio the flow function is a straight line to nothing at 1: its slope would be infinite there."""


def flow_function(pressure_ratio: float) -> float:
    """Flow function psi [-] of the ratio of downstream to upstream pressure [-], 0 to 1.

    0.685 up to the critical ratio, then sqrt(2 gamma/(gamma-1) (r^(2/gamma) - r^((gamma+1)/gamma))), linear from 0.999 to
    0 at 1. Source: closed form (isentropic nozzle).

    >>> round(flow_function(0.3), 5), flow_function(1.0)
    (0.68473, 0.0)
    """
    if pressure_ratio <= CRITICAL_RATIO:
        return CHOKED_COEFFICIENT
    # One closed piece of arithmetic, so that the same lines can be compiled: r^(10/7) and r^(12/7) from one power.
    ratio = min(pressure_ratio, LINEAR_FROM)
    power = ratio ** (2.0 / HEAT_RATIO)
    psi = sqrt(2.0 * HEAT_RATIO / (HEAT_RATIO - 1.0) * (power - power * ratio ** ((HEAT_RATIO - 1.0) / HEAT_RATIO)))
    return psi * min(1.0, (1.0 - pressure_ratio) / (1.0 - LINEAR_FROM))


def mass_flow_kg_s(area_m2: float, upstream_pa: float, downstream_pa: float, temperature_k: float) -> float:
    """Mass flow [kg/s] through an effective area [m2] from a higher absolute pressure [Pa] to a lower one.

    a p_up psi(p_down/p_up) / sqrt(R T_up), with the upstream temperature [K]; 0 where downstream is no lower.
    Source: closed form (isentropic nozzle).

    >>> round(mass_flow_kg_s(7.854e-5, 601325.0, 101325.0, 293.15), 5)
    0.11148
    """
    if downstream_pa >= upstream_pa:
        return 0.0
    psi = flow_function(downstream_pa / upstream_pa)
    return area_m2 * upstream_pa * psi / sqrt(GAS_CONSTANT_J_KG_K * temperature_k)
