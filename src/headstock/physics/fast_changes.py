"""Compiled changes of settings on the way: what stands otherwise from when on, met by the stepping itself.

``gates`` (number, 3): area (0 shut, negative fully open), vents on either side of a shut one. ``valves``: ``fast_valves``;
the last of its figures, the atmosphere, stays.
"""

from __future__ import annotations

from typing import NamedTuple

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import APPLIED, RELEASED
from headstock.physics.fast_gear import NONE, GearArrays, GearSet, GearState
from headstock.physics.fast_layout import LEAD, P

A_GATE, A_VALVE, OF_A_VESSEL, OF_A_DISTRIBUTOR = 0, 1, 2, 3
FIGURES = 6


class Changes(NamedTuple):
    """In order: when [s]; what it is and its number (count, 2); its figures (count, FIGURES); whether it really changes."""

    when_s: Floats
    which: Ints
    figures: Floats
    really: Ints


@bare
def bring(
    changes: Changes, number: int, gates: Floats, valves: Floats, gear: GearArrays, gear_set: GearSet, state: GearState,
    pipe: Floats,
) -> None:  # fmt: skip
    """One change is made. A distributor cut in again takes the mode that its reference and the pipe ask for."""
    kind, k = changes.which[number, 0], changes.which[number, 1]
    if kind == A_GATE:
        for c in range(3):
            gates[k, c] = changes.figures[number, c]
    elif kind == A_VALVE:
        for c in range(6):
            valves[k, c] = changes.figures[number, c]
    elif kind == OF_A_VESSEL:
        for c in range(3):
            gear_set.vessels[c, k] = changes.figures[number, c]
    else:
        if gear_set.brakes[0, k] > 0.0 and changes.figures[number, 0] == 0.0:
            compared = gear.store[k] if gear.brakes[0, k] > 0.0 or gear.chamber[k] == NONE else gear.chamber[k]
            is_low = state.level[compared] - pipe[P, LEAD + gear.place[k]] > gear.brakes[1, k]
            state.mode[k] = 1.0 * APPLIED if is_low else 1.0 * RELEASED
        for c in range(4):
            gear_set.brakes[c, k] = changes.figures[number, c]
