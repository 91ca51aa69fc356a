"""Exact emptying and filling of one vessel; nothing of the product's physics is used.

Isentropic nozzle, choked and not, for gas that keeps its temperature or gives no heat away; the conductance law of ISO 6358.
"""

from __future__ import annotations

from collections.abc import Callable
from math import asin, cos, log, pi, sin, sqrt

from tests.accuracy.exact_waves import GAMMA, R_AIR

ATMOSPHERE = 101325.0
CHOKED = sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))
CRITICAL = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
RHO_0, T_0 = 1.185, 293.15


def nozzle(ratio: float) -> float:
    """Flow function of a nozzle for a ratio of pressures."""
    r = max(ratio, CRITICAL)
    return sqrt(2 * GAMMA / (GAMMA - 1) * (r ** (2 / GAMMA) - r ** ((GAMMA + 1) / GAMMA)))


def integral(function: Callable[[float], float], low: float, high: float) -> float:
    """Integral with an inverse root at either end allowed: x = middle + half sin(a), then the midpoint rule."""
    middle, half, count = 0.5 * (low + high), 0.5 * (high - low), 20_000
    total = 0.0
    for i in range(count):
        a = -pi / 2 + (i + 0.5) * pi / count
        total += function(middle + half * sin(a)) * cos(a)
    return total * half * pi / count


def time_constant(volume: float, area: float, temperature_k: float) -> float:
    """V / (A Gamma sqrt(R T)) [s]."""
    return volume / (area * CHOKED * sqrt(R_AIR * temperature_k))


def adiabatic_emptying(p0: float, p: float, tau: float) -> float:
    """Time [s] while choked, no heat."""
    return 2 * tau / (GAMMA - 1) * ((p0 / p) ** ((GAMMA - 1) / (2 * GAMMA)) - 1)


def isothermal_emptying(p0: float, p: float, tau: float, back: float = ATMOSPHERE) -> float:
    """Time [s] from one pressure to another, choked and then not; the second part by integration."""
    edge = max(p, min(p0, back / CRITICAL))
    time = tau * log(p0 / edge)
    if p < edge:
        time += tau * integral(lambda x: CHOKED / (x * nozzle(back / x)), p, edge)
    return time


def isothermal_filling(p0: float, p: float, supply: float, tau: float) -> float:
    """Time [s] to fill from a supply that never falls, choked and then not; the second part by integration."""
    edge = min(p, max(p0, supply * CRITICAL))
    time = tau * (edge - p0) / supply
    if p > edge:
        time += tau * integral(lambda x: CHOKED / (supply * nozzle(x / supply)), edge, p)
    return time


def filled_temperature(p0: float, p: float, temperature_k: float) -> float:
    """Temperature [K] after filling without heat given away, supply and first content both at ``temperature_k``."""
    return GAMMA * temperature_k / (1 + (GAMMA - 1) * p0 / p)


def conductance_fill(r0: float, r: float, b: float, tau: float) -> float:
    """Closed form: time [s] to fill from r0 < b to r of the supply's pressure, tau = V/(R T C rho0)."""
    if r <= b:
        return tau * (r - r0)
    return tau * ((b - r0) + (1 - b) * asin(min(1.0, (r - b) / (1 - b))))


def conductance_discharge(y0: float, y: float, b: float, tau: float) -> float:
    """Closed form: time [s] to fall from y0 to y atmospheres, b < 0.5."""
    q = 1 - 2 * b

    def part(x: float) -> float:
        return log(2 * sqrt(q) * sqrt(max(0.0, q * x * x + 2 * b * x - 1)) + 2 * q * x + 2 * b) / sqrt(q)

    edge = max(y, min(y0, 1 / b))
    return tau * log(y0 / edge) + (tau * (1 - b) * (part(edge) - part(y)) if y < edge else 0.0)
