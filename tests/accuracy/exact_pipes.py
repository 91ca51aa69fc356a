"""Exact steady flows of air in a pipe with constant Darcy friction factor f; nothing of the product's physics is used.

Isothermal with the logarithm, adiabatic (Fanno), the pressure lost to leaks. Textbook gas dynamics.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log, pi, sqrt

from tests.accuracy.exact_waves import GAMMA, R_AIR, root_of


def area_of(bore_m: float) -> float:
    """Area of a round hole [m2]."""
    return pi / 4 * bore_m**2


def isothermal_limit_pa(p1: float, friction: float, temperature_k: float) -> float:
    """Lowest pressure an isothermal flow can fall to over f L / D = ``friction``: there it is as fast as its own waves."""
    del temperature_k  # the ratio does not depend on it
    k = root_of(lambda k: k * k - 1 - 2 * log(k) - friction, 1.0, 1e6)
    return p1 / k


def isothermal_flux(p1: float, p2: float, friction: float, temperature_k: float) -> float:
    """Mass flux [kg/(s m2)] between two static pressures, f L / D = ``friction``; no more than the limit."""
    p2 = max(p2, isothermal_limit_pa(p1, friction, temperature_k))
    return sqrt((p1**2 - p2**2) / (R_AIR * temperature_k * (friction + 2 * log(p1 / p2))))


def isothermal_inlet_pa(p2: float, flux: float, friction: float, temperature_k: float) -> float:
    """Static pressure needed at the inlet for a mass flux, with the static pressure at the outlet."""
    rt = R_AIR * temperature_k
    return root_of(lambda p: p**2 - p2**2 - flux**2 * rt * (friction + 2 * log(p / p2)), p2, 100 * p2)


def isothermal_outlet_pa(p1: float, flux: float, friction: float, temperature_k: float) -> float:
    """Static pressure at the outlet for a mass flux, with the static pressure at the inlet (subsonic branch)."""
    rt = R_AIR * temperature_k
    lowest = flux * sqrt(rt)
    return root_of(lambda p: p1**2 - p**2 - flux**2 * rt * (friction + 2 * log(p1 / p)), lowest, p1)


def fanno_length(mach: float) -> float:
    """f L / D from a Mach number to sonic flow."""
    square = mach * mach
    part = (GAMMA + 1) * square / (2 + (GAMMA - 1) * square)
    return (1 - square) / (GAMMA * square) + (GAMMA + 1) / (2 * GAMMA) * log(part)


def fanno_ratios(mach: float) -> tuple[float, float, float, float]:
    """T/T*, p/p*, rho/rho*, p0/p0* of Fanno flow."""
    t = (GAMMA + 1) / (2 + (GAMMA - 1) * mach**2)
    p = sqrt(t) / mach
    return t, p, p / t, (1 / mach) * (1 / t) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))


def stagnation_ratio(mach: float) -> float:
    """Stagnation over static pressure."""
    return (1 + (GAMMA - 1) / 2 * mach**2) ** (GAMMA / (GAMMA - 1))


def flux_of(mach: float, p0: float, t0: float) -> float:
    """Mass flux [kg/(s m2)] at a Mach number of gas with stagnation pressure and temperature."""
    t = t0 / (1 + (GAMMA - 1) / 2 * mach**2)
    return p0 / stagnation_ratio(mach) / (R_AIR * t) * mach * sqrt(GAMMA * R_AIR * t)


def open_pipe(p0: float, t0: float, friction: float, back_pa: float) -> tuple[float, float, float]:
    """A pipe fed without loss from a vessel, open at its far end: Mach number at inlet, at outlet, mass flux."""
    inlet = root_of(lambda m: fanno_length(m) - friction, 1e-4, 1 - 1e-12)

    def outlet_of(m: float) -> float:
        return root_of(lambda x: fanno_length(x) - (fanno_length(m) - friction), 1e-4, 1 - 1e-12)

    def outlet_pa(m: float) -> float:
        return p0 / stagnation_ratio(m) * fanno_ratios(outlet_of(m))[1] / fanno_ratios(m)[1]

    if p0 / stagnation_ratio(inlet) / fanno_ratios(inlet)[1] < back_pa:
        inlet = root_of(lambda m: outlet_pa(m) - back_pa, 5e-3, inlet)
        return inlet, outlet_of(inlet), flux_of(inlet, p0, t0)
    return inlet, 1.0, flux_of(inlet, p0, t0)


def leak_share(leaks: int) -> float:
    """Share of p1^2 - p2^2 that so many equal leaks at the ends of equal sections leave, against one leak at the far end."""
    return (leaks + 1) * (2 * leaks + 1) / (6 * leaks**2)


def pressures_past_leaks(
    p1: float, places_m: Sequence[float], kg_per_s_pa: Sequence[float], friction_per_m: float, bore_m: float, temperature_k: float
) -> tuple[list[float], float]:
    """Static pressures at leaks that each take a flow in proportion to theirs, from the inlet on; and the flow at the inlet.

    Between leaks the isothermal law with the logarithm; at a leak the static pressure goes on unchanged.
    """
    area = area_of(bore_m)
    flow = p1 * sum(kg_per_s_pa)
    pressures: list[float] = []
    for _ in range(60):
        left, p, at, pressures = flow, p1, 0.0, []
        for place, take in zip(places_m, kg_per_s_pa, strict=True):
            p = isothermal_outlet_pa(p, max(left, 1e-12) / area, friction_per_m * (place - at), temperature_k)
            pressures.append(p)
            left -= take * p
            at = place
        flow = sum(take * p for take, p in zip(kg_per_s_pa, pressures, strict=True))
    return pressures, flow
