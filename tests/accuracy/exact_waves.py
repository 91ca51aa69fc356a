"""Exact solutions of waves without friction, written out here: nothing of the product's physics is used.

Riemann problems of the ideal gas and of the isothermal gas, both from their jump relations and invariants; the jump at a
wall met by moving gas. Textbook gas dynamics.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log, sqrt

R_AIR = 287.05
GAMMA = 1.4


def root_of(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function changes its sign, by halving."""
    falling = function(low) > 0.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        if (function(middle) > 0.0) == falling:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


@dataclass(frozen=True)
class Gas:
    """Density [kg/m3], speed [m/s], pressure [Pa] of a uniform state."""

    rho: float
    u: float
    p: float

    @property
    def c(self) -> float:
        """Speed of sound, adiabatic [m/s]."""
        return sqrt(GAMMA * self.p / self.rho)


@dataclass(frozen=True)
class Fan:
    """The answer of an adiabatic Riemann problem; ``left``/``right`` wave: shock (one speed) or fan (head, tail)."""

    left: Gas
    right: Gas
    p: float
    u: float
    rho_left: float
    rho_right: float

    def edges(self, side: int) -> tuple[float, float]:
        """Outer and inner speed of the left (-1) or right (+1) wave; equal for a shock."""
        state, inner = (self.left, self.rho_left) if side < 0 else (self.right, self.rho_right)
        if self.p > state.p:
            speed = state.u + side * state.c * sqrt(1 + (GAMMA + 1) / (2 * GAMMA) * (self.p / state.p - 1))
            return speed, speed
        return state.u + side * state.c, self.u + side * sqrt(GAMMA * self.p / inner)

    def at(self, speed: float) -> Gas:
        """The gas seen by one who runs from the diaphragm at a speed [m/s]."""
        side = -1 if speed < self.u else 1
        state, inner = (self.left, self.rho_left) if side < 0 else (self.right, self.rho_right)
        outer, near = self.edges(side)
        if side * speed >= side * outer:
            return state
        if side * speed <= side * near:
            return Gas(inner, self.u, self.p)
        c = 2 / (GAMMA + 1) * (state.c - side * (GAMMA - 1) / 2 * (state.u - speed))
        rho = state.rho * (c / state.c) ** (2 / (GAMMA - 1))
        return Gas(rho, speed - side * c, state.p * (rho / state.rho) ** GAMMA)


def _step(p: float, state: Gas) -> tuple[float, float]:
    """Change of speed across one wave to a pressure, and the density behind it."""
    ratio = p / state.p
    if ratio > 1:
        change = (p - state.p) * sqrt(2 / state.rho / ((GAMMA + 1) * p + (GAMMA - 1) * state.p))
        low = (GAMMA - 1) / (GAMMA + 1)
        return change, state.rho * (ratio + low) / (low * ratio + 1)
    change = 2 * state.c / (GAMMA - 1) * (ratio ** ((GAMMA - 1) / (2 * GAMMA)) - 1)
    return change, state.rho * ratio ** (1 / GAMMA)


def adiabatic_riemann(left: Gas, right: Gas) -> Fan:
    """Two uniform halves of an ideal gas let go: each wave a shock or a fan, whichever the pressure between asks for."""
    p = root_of(lambda p: _step(p, left)[0] + _step(p, right)[0] + right.u - left.u, 1e-9 * left.p, 100 * max(left.p, right.p))
    u = 0.5 * (left.u + right.u + _step(p, right)[0] - _step(p, left)[0])
    return Fan(left, right, p, u, _step(p, left)[1], _step(p, right)[1])


@dataclass(frozen=True)
class IsothermalFan:
    """Isothermal tube at rest, higher pressure on the left: a fan runs left, a shock runs right."""

    p: float
    u: float
    shock: float
    tail: float
    p_left: float
    p_right: float
    a: float

    def at(self, speed: float) -> tuple[float, float]:
        """Pressure [Pa] and speed [m/s] of the gas seen by one who runs from the diaphragm at a speed [m/s]."""
        if speed <= -self.a:
            return self.p_left, 0.0
        if speed < self.tail:
            return self.p_left * exp(-(speed + self.a) / self.a), speed + self.a
        return (self.p, self.u) if speed < self.shock else (self.p_right, 0.0)


def isothermal_riemann(p_left: float, p_right: float, a: float) -> IsothermalFan:
    """a ln(p_left/p) = a (p - p_right)/sqrt(p p_right); the shock runs at a sqrt(p/p_right)."""
    p = root_of(lambda p: log(p_left / p) - (p - p_right) / sqrt(p * p_right), p_right, p_left)
    u = a * log(p_left / p)
    return IsothermalFan(p, u, a * sqrt(p / p_right), u - a, p_left, p_right, a)


def isothermal_hammer(p: float, u: float, a: float) -> tuple[float, float]:
    """Pressures just before and just behind a wall put across isothermal gas that moves at u [m/s]."""
    m = u / a
    return p * (1 + m * m / 2 + m * sqrt(1 + m * m / 4)), p * exp(-m)


def adiabatic_hammer(p: float, rho: float, u: float) -> tuple[float, float]:
    """The same for an ideal gas: a shock on one side, a fan on the other, each bringing the gas to rest."""
    gas = Gas(rho, u, p)
    return (
        root_of(lambda x: _step(x, gas)[0] - u, p, 10 * p),
        root_of(lambda x: _step(x, gas)[0] + u, 0.01 * p, p),
    )
