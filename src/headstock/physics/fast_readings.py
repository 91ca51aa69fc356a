"""Compiled readings of the fast solver: what probes show after a step."""

from __future__ import annotations

from math import sqrt

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import GearState
from headstock.physics.pipe_network import ATMOSPHERE_PA

A_CELL, A_CHAMBER, A_RESERVOIR, A_CYLINDER, AN_END, A_VESSEL, A_BRAKE_CYLINDER = 0, 1, 2, 3, 4, 5, 6
"""What a probe reads; of brakes the first three, of the gear the last two."""


@kernel
def sample(
    probes: Ints, p: Floats, q: Floats, half: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, gear: GearState,
    row: Floats,
) -> None:  # fmt: skip
    """One row of readings [Pa, absolute]; the ends are read at their face, half a cell of friction on.

    Of a distributor's two circuits the higher one is the cylinder's.
    """
    n = p.shape[0]
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        for w in range(p.shape[1]):
            if kind == A_CELL:
                row[k, w] = p[number, w]
            elif kind == A_CHAMBER:
                row[k, w] = chamber[number, w]
            elif kind == A_RESERVOIR:
                row[k, w] = reservoir[number, w]
            elif kind == A_CYLINDER:
                row[k, w] = cylinder[number, w] + ATMOSPHERE_PA
            elif kind == A_VESSEL:
                row[k, w] = gear.level[number, w]
            elif kind == A_BRAKE_CYLINDER:
                row[k, w] = max(gear.auto[number, w], gear.electric[number, w]) + ATMOSPHERE_PA
            elif number == 0:
                row[k, w] = sqrt(max(p[0, w] * p[0, w] + half[0, w] * q[0, w] * abs(q[0, w]), 1.0))
            else:
                row[k, w] = sqrt(max(p[n - 1, w] * p[n - 1, w] - half[1, w] * q[n, w] * abs(q[n, w]), 1.0))
