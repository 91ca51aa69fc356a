"""Vessels of air: how long one takes to fill or to empty through an opening, what two agree on, what a leak is worth.

Absolute pressures. "Isothermal": the air keeps its temperature, as in a pipe after some seconds. "Adiabatic": it gives
no heat away, as in a large vessel in the first second. Openings are effective areas, the discharge coefficient in them.
"""

from __future__ import annotations

from math import exp, log, sqrt

from headstock.base.errors import OutsideModelError
from headstock.physics.gas import GAS_CONSTANT_J_KG_K, HEAT_RATIO
from headstock.physics.orifice import CHOKED_COEFFICIENT, CRITICAL_RATIO

_G = HEAT_RATIO
_SQRT_7 = sqrt(2.0 * _G / (_G - 1.0))


def _in_order(low: float, high: float, words: str) -> None:
    if not 0.0 < low <= high:
        raise OutsideModelError(f"{words}: found {low:g} and {high:g} Pa, expected the first above 0, no higher than the second")


def time_constant_s(volume_m3: float, area_m2: float, temperature_k: float) -> float:
    """Time constant [s] of a vessel [m3] behind a choked opening [m2]: V / (A 0.685 sqrt(R T)). Source: closed form.

    >>> round(time_constant_s(0.1, 7.85398e-5, 293.15), 4)
    6.4101
    """
    return volume_m3 / (area_m2 * CHOKED_COEFFICIENT * sqrt(GAS_CONSTANT_J_KG_K * temperature_k))


def _unchoked_outflow(pressure_pa: float, outside_pa: float) -> float:
    """Time left to the outside's pressure, in units of V/(A sqrt(RT)); gamma = 1.4 makes the integral a polynomial."""
    s = sqrt((pressure_pa / outside_pa) ** ((_G - 1.0) / _G) - 1.0)
    return _SQRT_7 * (s + 2.0 * s**3 / 3.0 + s**5 / 5.0)


def isothermal_emptying_time_s(tau_s: float, from_pa: float, to_pa: float, outside_pa: float) -> float:
    """Time [s] for a vessel to fall from one pressure [Pa] to another through a nozzle, with its time constant [s].

    tau ln(p0/p) while choked; then 0.685 tau sqrt(7) (s + 2 s^3/3 + s^5/5), s^2 = (p/p_out)^(2/7) - 1, between the two.
    Down to the outside's pressure the time is finite. Raises OutsideModelError unless outside <= to <= from. Source: closed form.

    >>> round(isothermal_emptying_time_s(6.410119, 601325.0, 106325.0, 101325.0), 3)
    11.872
    """
    _in_order(outside_pa, to_pa, "emptying, outside and last pressure")
    _in_order(to_pa, from_pa, "emptying, last and first pressure")
    edge_pa = min(from_pa, max(to_pa, outside_pa / CRITICAL_RATIO))
    tail = _unchoked_outflow(edge_pa, outside_pa) - _unchoked_outflow(to_pa, outside_pa) if to_pa < edge_pa else 0.0
    return tau_s * (log(from_pa / edge_pa) + CHOKED_COEFFICIENT * tail)


def adiabatic_emptying_time_s(tau_s: float, from_pa: float, to_pa: float) -> float:
    """Time [s] for a vessel that takes up no heat to fall from one pressure [Pa] to another while the nozzle is choked.

    2 tau/(gamma - 1) ((p0/p)^((gamma-1)/(2 gamma)) - 1); valid down to 1.9 times the outside's pressure. Source: closed form.

    >>> round(adiabatic_emptying_time_s(6.410119, 601325.0, 451325.0), 4)
    1.3411
    """
    _in_order(to_pa, from_pa, "emptying, last and first pressure")
    return float(2.0 * tau_s / (_G - 1.0) * ((from_pa / to_pa) ** ((_G - 1.0) / (2.0 * _G)) - 1.0))


def rebounded_pa(from_pa: float, to_pa: float) -> float:
    """Pressure [Pa] a vessel comes back to once its air is warm again after an adiabatic fall: p (p0/p)^((gamma-1)/gamma).

    Source: closed form.

    >>> round(rebounded_pa(601325.0, 451325.0))
    489886
    """
    _in_order(to_pa, from_pa, "rebound, last and first pressure")
    return float(to_pa * (from_pa / to_pa) ** ((_G - 1.0) / _G))


def isothermal_filling_time_s(tau_s: float, from_pa: float, to_pa: float, supply_pa: float) -> float:
    """Time [s] to fill a vessel from one pressure [Pa] to another from a supply [Pa] that never falls.

    tau (p - p0)/p_s while choked, then 0.685 tau sqrt(7) (s1 - s2), s = sqrt(1 - (p/p_s)^(2/7)). Finite up to the supply's
    pressure. Raises OutsideModelError unless from <= to <= supply. Source: closed form.

    >>> round(isothermal_filling_time_s(6.410119, 101325.0, 601325.0, 1001325.0), 4)
    3.2026
    """
    _in_order(from_pa, to_pa, "filling, first and last pressure")
    _in_order(to_pa, supply_pa, "filling, last and supply pressure")
    edge_pa = min(to_pa, max(from_pa, supply_pa * CRITICAL_RATIO))
    power = (_G - 1.0) / _G
    tail = sqrt(1.0 - (edge_pa / supply_pa) ** power) - sqrt(1.0 - (to_pa / supply_pa) ** power)
    return tau_s * ((edge_pa - from_pa) / supply_pa + CHOKED_COEFFICIENT * _SQRT_7 * tail)


def filled_temperature_k(from_pa: float, to_pa: float, temperature_k: float) -> float:
    """Temperature [K] after filling without loss of heat, supply and first content both at one temperature [K].

    gamma T / (1 + (gamma - 1) p0/p). It cools back to p T/T_f. Source: closed form.

    >>> round(filled_temperature_k(101325.0, 601325.0, 293.15), 3)
    384.495
    """
    _in_order(from_pa, to_pa, "filling, first and last pressure")
    return _G * temperature_k / (1.0 + (_G - 1.0) * from_pa / to_pa)


def equalised_pa(pressure_pa: float, volume_m3: float, other_pa: float, other_m3: float) -> float:
    """Pressure [Pa] of two joined vessels at one temperature: (p V + p' V')/(V + V') (Boyle). Source: closed form.

    >>> round(equalised_pa(601325.0, 0.1, 101325.0, 0.025))
    501325
    """
    return (pressure_pa * volume_m3 + other_pa * other_m3) / (volume_m3 + other_m3)


def leaked_down_pa(pressure_pa: float, tau_s: float, time_s: float) -> float:
    """Pressure [Pa] after a time [s] of a shut pipe with a choked leak: p0 exp(-t/tau), above 1.9 atmospheres.

    Source: closed form.

    >>> round(leaked_down_pa(601325.0, 961.5, 60.0))
    564948
    """
    return pressure_pa * exp(-time_s / tau_s)


def flow_of_drop_kg_s(volume_m3: float, drop_pa: float, time_s: float, temperature_k: float) -> float:
    """Mass flow [kg/s] that lets a volume [m3] fall by so much [Pa] in a time [s]: V dp/(R T dt). Source: closed form.

    >>> round(flow_of_drop_kg_s(0.15, 20000.0, 300.0, 293.15) * 1000, 3)
    0.119
    """
    return volume_m3 * drop_pa / (GAS_CONSTANT_J_KG_K * temperature_k * time_s)


def leak_area_of_drop_m2(volume_m3: float, pressure_pa: float, drop_pa: float, time_s: float, temperature_k: float) -> float:
    """Effective area [m2] of the choked leak that lets a volume fall so much [Pa] in a time [s], for a small fall.

    The flow of the fall over the flux at the first pressure [Pa, absolute, above 1.9 atmospheres]. Source: closed form.

    >>> area = leak_area_of_drop_m2(0.15, 601325.0, 20000.0, 300.0, 293.15)
    >>> round((area / 0.785398) ** 0.5 * 1000, 3)
    0.326
    """
    flux = pressure_pa * CHOKED_COEFFICIENT / sqrt(GAS_CONSTANT_J_KG_K * temperature_k)
    return flow_of_drop_kg_s(volume_m3, drop_pa, time_s, temperature_k) / flux


def least_charging_time_s(volume_m3: float, rise_pa: float, free_air_m3_s: float, atmosphere_pa: float) -> float:
    """Time [s] below which no compressor of a free air delivery [m3/s] raises a volume so far: V dp/(p_atm Q).

    Source: closed form.

    >>> round(least_charging_time_s(0.5, 500000.0, 1.0 / 60.0, 101325.0) / 60, 2)
    2.47
    """
    return volume_m3 * rise_pa / (atmosphere_pa * free_air_m3_s)
