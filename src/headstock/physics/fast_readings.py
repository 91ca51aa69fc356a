"""Compiled readings of the fast solver: what probes show after a step of one lane."""

from __future__ import annotations

from math import sqrt

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import GearState
from headstock.physics.fast_layout import CHAMBER, CYLINDER, HALF_0, HALF_1, LEAD, OUTSIDE, RESERVOIR, P, Q

A_CELL, A_CHAMBER, A_RESERVOIR, A_CYLINDER, AN_END, A_VESSEL, A_BRAKE_CYLINDER = 0, 1, 2, 3, 4, 5, 6
"""What a probe reads; of brakes the first three, of the gear the last two."""


@bare
def sample(
    probes: Ints, pipe: Floats, side: Floats, lane: Floats, w: int, lanes: int, cells: int, gear: GearState, row: Floats
) -> None:  # fmt: skip
    """One row of readings [Pa, absolute] of place ``w``; the ends are read at their face, half a cell of friction on.

    Of a distributor's two circuits the higher one is the cylinder's.
    """
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        if kind == A_CELL:
            row[k] = pipe[P, LEAD + number * lanes + w]
        elif kind == A_CHAMBER:
            row[k] = side[CHAMBER, number * lanes + w]
        elif kind == A_RESERVOIR:
            row[k] = side[RESERVOIR, number * lanes + w]
        elif kind == A_CYLINDER:
            row[k] = side[CYLINDER, number * lanes + w] + lane[OUTSIDE, w]
        elif kind == A_VESSEL:
            row[k] = gear.level[number]
        elif kind == A_BRAKE_CYLINDER:
            row[k] = max(gear.auto[number], gear.electric[number]) + lane[OUTSIDE, w]
        else:
            i, face, sign = (0, LEAD - lanes + w, 1.0) if number == 0 else (cells - 1, LEAD + (cells - 1) * lanes + w, -1.0)
            p, q, half = pipe[P, LEAD + i * lanes + w], pipe[Q, face], lane[HALF_0 if number == 0 else HALF_1, w]
            row[k] = sqrt(max(p * p + sign * half * q * abs(q), 1.0))
