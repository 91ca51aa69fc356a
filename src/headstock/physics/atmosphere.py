"""The open air at a height above the sea."""

from __future__ import annotations

from headstock.physics.pipe_network import ATMOSPHERE_PA

EARTH_RADIUS_M, SEA_K, LAPSE_K_M = 6_356_766.0, 288.15, 0.0065
EXPONENT = 9.80665 * 0.0289644 / (8.31432 * LAPSE_K_M)
"""Gravity x molar mass / (gas constant x lapse rate) [-]."""


def standard_atmosphere_pa(height_m: float) -> float:
    """Pressure of the standard atmosphere [Pa] at a height above the sea [m], -5000 to 11 000.

    p0 (1 - L H / T0)^(g M / (R L)) with the geopotential height H = r h / (r + h). Weather moves it by some per cent either way.
    Source: US Standard Atmosphere 1976 (from memory; up to 32 km the same as ISO 2533).

    >>> round(standard_atmosphere_pa(1500.0), 1)
    84559.7
    >>> standard_atmosphere_pa(0.0)
    101325.0
    """
    geopotential_m = EARTH_RADIUS_M * height_m / (EARTH_RADIUS_M + height_m)
    return float(ATMOSPHERE_PA * (1.0 - LAPSE_K_M * geopotential_m / SEA_K) ** EXPONENT)
