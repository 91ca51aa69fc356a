"""Compiled changes of settings on the way: what stands otherwise from when on, met by the stepping itself.

``gates`` (number, 3): area (0 shut, negative fully open), vents on either side of a shut one. ``valves``: ``fast_valves``.
"""

from __future__ import annotations

from typing import NamedTuple

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import APPLIED, RELEASED
from headstock.physics.fast_gear import NONE, GearArrays, GearSet, GearState
from headstock.physics.fast_layout import EXTRA, GUESS, LEAD, LOW, OUT, PULL, A, B, DRAWN, P, Q, Q1
from headstock.physics.fast_nozzle import CHOKED, CRITICAL, psi_of, square
from headstock.physics.pipe_network import ATMOSPHERE_PA

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


@bare
def gates_special(gates: Floats) -> bool:
    """Whether any gate is not fully open."""
    special = False
    for g in range(gates.shape[0]):
        special = special or gates[g, 0] >= 0.0
    return special


@bare
def gate_drags(pipe: Floats, gates: Floats, gate_face: Ints, ratio: float, rt: float) -> None:
    """The drag of every part-open gate; nothing where one is shut (seen to elsewhere) or fully open."""
    for g in range(gates.shape[0]):
        j = LEAD + gate_face[g] - 1
        area = gates[g, 0]
        drag = 0.0
        if area > 0.0:
            flow = pipe[Q, j] + ratio * (pipe[Q, j] - pipe[Q1, j])
            before, behind = pipe[GUESS, j], pipe[GUESS, j + 1]
            up, down = (before, behind) if flow > 0.0 else (behind, before)
            r = min(down / up, 1.0)
            h = square(r) if r > CRITICAL else CHOKED * CHOKED / (1.0 - r)
            drag = pipe[PULL, j] * rt * abs(flow) / (area * area * up * h)
        pipe[EXTRA, j] = drag


@bare
def shut_gates(pipe: Floats, gates: Floats, gate_face: Ints) -> None:
    """Nothing flows through shut gates."""
    for g in range(gates.shape[0]):
        if gates[g, 0] == 0.0:
            pipe[A, LEAD + gate_face[g] - 1], pipe[B, LEAD + gate_face[g] - 1] = 0.0, 0.0


@bare
def vent_lines(pipe: Floats, gates: Floats, gate_face: Ints, over_root: float, vents: Floats) -> None:
    """Vents beside shut gates as conductances from the pressure itself, into the balances; ``vents`` (gates, 2)."""
    for g in range(gates.shape[0]):
        for side in range(2):
            vents[g, side] = 0.0
            if gates[g, 0] == 0.0 and gates[g, 1 + side] > 0.0:
                j = LEAD + gate_face[g] - 1 + side
                vents[g, side] = gates[g, 1 + side] * psi_of(ATMOSPHERE_PA / pipe[GUESS, j]) * over_root
                pipe[LOW, j] += vents[g, side]


@bare
def take_vents(pipe: Floats, lane: Floats, gate_face: Ints, vents: Floats, short: float) -> None:
    """The same at the new pressures, into branches and tally."""
    for g in range(vents.shape[0]):
        for side in range(2):
            j = LEAD + gate_face[g] - 1 + side
            out = vents[g, side] * pipe[P, j]
            pipe[DRAWN, j] += out
            lane[OUT, 0] += short * out
