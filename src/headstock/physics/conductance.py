"""Flow through valves and fittings whose maker states a conductance and a critical ratio."""

from __future__ import annotations

from math import sqrt

from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import CHOKED_COEFFICIENT

REFERENCE_DENSITY_KG_M3 = 1.185
"""Density of the reference atmosphere of ISO 6358 [kg/m3] (from memory)."""
REFERENCE_TEMPERATURE_K = 293.15
"""Temperature of the reference atmosphere of ISO 6358 [K] (from memory)."""


def conductance_flow_kg_s(
    conductance_m3_s_pa: float, critical_ratio: float, upstream_pa: float, downstream_pa: float, temperature_k: float
) -> float:
    """Mass flow [kg/s] through a part with a sonic conductance C [m3/(s Pa)] and a critical ratio b [-], 0 to below 1.

    C rho0 p1 sqrt(T0/T1) phi; phi = 1 for p2/p1 <= b, else sqrt(1 - ((p2/p1 - b)/(1 - b))^2); 0 where downstream is no lower.
    Absolute pressures [Pa], upstream temperature [K]. Source: ISO 6358 (second-hand).

    >>> round(conductance_flow_kg_s(1e-7, 0.3, 601325.0, 401325.0, 293.15), 6)
    0.060653
    """
    if downstream_pa >= upstream_pa:
        return 0.0
    over = max(0.0, downstream_pa / upstream_pa - critical_ratio) / (1.0 - critical_ratio)
    choked = conductance_m3_s_pa * REFERENCE_DENSITY_KG_M3 * upstream_pa * sqrt(REFERENCE_TEMPERATURE_K / temperature_k)
    return choked * sqrt(1.0 - over * over)


def nozzle_area_m2(conductance_m3_s_pa: float) -> float:
    """Effective area [m2] of the nozzle that passes the same choked flow as a conductance [m3/(s Pa)].

    C rho0 sqrt(R T0)/0.685. Source: ISO 6358 (second-hand).

    >>> round(nozzle_area_m2(1e-8) * 1e6, 2)
    5.02
    """
    flux = CHOKED_COEFFICIENT / sqrt(GAS_CONSTANT_J_KG_K * REFERENCE_TEMPERATURE_K)
    return conductance_m3_s_pa * REFERENCE_DENSITY_KG_M3 / flux
