"""Compiled: a chain of masses and couplings, half a step of speed, a step of place, half a step of speed."""

from __future__ import annotations

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats

TURN_M_S = 0.002
"""Speed over which a gear goes from its way in to its way out [m/s]."""


@kernel
def gear_force(table: Floats, row: int, returns: float, stroke: float, rate: float, at: int) -> tuple[float, int]:
    """Force [N] of a gear pressed by a stroke [m], faster by ``rate`` [m/s]; `at`: the piece of its curve last used."""
    last = table.shape[2] - 2
    while at < last and stroke > table[row, 0, at + 1]:
        at += 1
    while at > 0 and stroke < table[row, 0, at]:
        at -= 1
    x, y, f, g = table[row, 0, at], table[row, 0, at + 1], table[row, 1, at], table[row, 1, at + 1]
    force = f + (g - f) * (stroke - x) / (y - x)
    if returns < 1.0:
        force *= 0.5 * (1.0 + returns) + 0.5 * (1.0 - returns) * np.tanh(rate / TURN_M_S)
    return force, at


@kernel
def march_chain(
    masses: Floats, speeds: Floats, table: Floats, returns: Floats, hit: int, step_s: float, steps: int
) -> tuple[Floats, Floats, float]:
    """Greatest push and pull in each coupling [N], greatest stroke at the one hit [m]."""
    count = masses.size
    place, v, a = np.zeros(count), speeds.copy(), np.zeros(count)
    at = np.zeros(count - 1, dtype=np.int64)
    push, pull, most = np.zeros(count - 1), np.zeros(count - 1), 0.0
    for _ in range(steps):
        for n in range(count):
            v[n] += 0.5 * step_s * a[n]
            place[n] += step_s * v[n]
            a[n] = 0.0
        for n in range(count - 1):
            stroke, rate = place[n] - place[n + 1], v[n] - v[n + 1]
            force = 0.0
            if stroke > 0.0:
                force, at[n] = gear_force(table, n, returns[n], stroke, rate, at[n])
                push[n] = max(push[n], force)
            elif stroke < 0.0 and n != hit:
                force, at[n] = gear_force(table, n, returns[n], -stroke, -rate, at[n])
                pull[n] = max(pull[n], force)
                force = -force
            a[n] -= force / masses[n]
            a[n + 1] += force / masses[n + 1]
            if n == hit and stroke > most:
                most = stroke
        for n in range(count):
            v[n] += 0.5 * step_s * a[n]
    return push, pull, most
