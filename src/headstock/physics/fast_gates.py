"""Compiled gates of the fast solver: the drag of part-open ones, shut ones and the vents beside them; one lane, or eight.

``gates`` (number, 3) as in ``fast_changes``; of eight lanes (number, 8) the areas alone.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import WIDTH
from headstock.physics.fast_layout import (
    DRAWN,
    EXTRA,
    GUESS,
    LEAD,
    LOW,
    OUT,
    OUTSIDE,
    OVER_ROOT,
    PULL,
    Q1,
    RATIO,
    RT,
    SHORT,
    TAKES,
    A,
    B,
    P,
    Q,
)
from headstock.physics.fast_nozzle import CHOKED, CRITICAL, psi_of, square


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
def vent_lines(pipe: Floats, gates: Floats, gate_face: Ints, over_root: float, outside: float, vents: Floats) -> None:
    """Vents beside shut gates as conductances from the pressure itself, into the balances; ``vents`` (gates, 2)."""
    for g in range(gates.shape[0]):
        for side in range(2):
            vents[g, side] = 0.0
            if gates[g, 0] == 0.0 and gates[g, 1 + side] > 0.0:
                j = LEAD + gate_face[g] - 1 + side
                vents[g, side] = gates[g, 1 + side] * psi_of(outside / pipe[GUESS, j]) * over_root
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


@bare
def gates_of_eight(pipe: Floats, gates: Floats, gate_face: Ints, special: Ints) -> int:
    """Numbers (gate x 8 + lane) of gates that are not fully open, how many; the others drag nothing."""
    count = 0
    for g in range(gates.shape[0]):
        for w in range(WIDTH):
            pipe[EXTRA, LEAD + (gate_face[g] - 1) * WIDTH + w] = 0.0
            if gates[g, w] >= 0.0:
                special[count] = g * WIDTH + w
                count += 1
    return count


@bare
def drags_of_eight(pipe: Floats, lane: Floats, gates: Floats, gate_face: Ints, special: Ints, count: int) -> None:
    """The drag of part-open gates."""
    for s in range(count):
        g, w = special[s] // WIDTH, special[s] % WIDTH
        j, area = LEAD + (gate_face[g] - 1) * WIDTH + w, gates[g, w]
        if area > 0.0:
            flow = pipe[Q, j] + lane[RATIO, w] * (pipe[Q, j] - pipe[Q1, j])
            before, behind = pipe[GUESS, j], pipe[GUESS, j + WIDTH]
            up, down = (before, behind) if flow > 0.0 else (behind, before)
            r = min(down / up, 1.0)
            h = square(r) if r > CRITICAL else CHOKED * CHOKED / (1.0 - r)
            pipe[EXTRA, j] = pipe[PULL, j] * lane[RT, w] * abs(flow) / (area * area * up * h)


@bare
def shut_of_eight(pipe: Floats, gates: Floats, gate_face: Ints, special: Ints, count: int) -> None:
    """Nothing flows through shut gates."""
    for s in range(count):
        g, w = special[s] // WIDTH, special[s] % WIDTH
        if gates[g, w] == 0.0:
            j = LEAD + (gate_face[g] - 1) * WIDTH + w
            pipe[A, j], pipe[B, j] = 0.0, 0.0


@bare
def vents_of_eight(gates: Floats, vents: Floats, vented: Ints) -> int:
    """Numbers ((2 x gate + side) x 8 + lane) of open vents beside shut gates, how many; ``vents`` (2 x gates, 8) areas."""
    count = 0
    for g in range(gates.shape[0]):
        for number in range(2 * g, 2 * g + 2):
            for w in range(WIDTH):
                if gates[g, w] == 0.0 and vents[number, w] > 0.0:
                    vented[count] = number * WIDTH + w
                    count += 1
    return count


@bare
def vent_lines_of_eight(
    pipe: Floats, lane: Floats, gate_face: Ints, vents: Floats, vented: Ints, count: int, lines: Floats
) -> None:
    """The same as conductances from the pressure itself, into the balances and ``lines`` (2 x gates, 8)."""
    for s in range(count):
        number, w = vented[s] // WIDTH, vented[s] % WIDTH
        j = LEAD + (gate_face[number // 2] - 1 + number % 2) * WIDTH + w
        lines[number, w] = vents[number, w] * psi_of(lane[OUTSIDE, w] / pipe[GUESS, j]) * lane[OVER_ROOT, w]
        pipe[LOW, j] += lines[number, w]


@bare
def take_vents_of_eight(pipe: Floats, lane: Floats, gate_face: Ints, vented: Ints, count: int, lines: Floats) -> None:
    """The same at the new pressures, into branches and tally, where a step is taken."""
    for s in range(count):
        number, w = vented[s] // WIDTH, vented[s] % WIDTH
        j = LEAD + (gate_face[number // 2] - 1 + number % 2) * WIDTH + w
        if lane[TAKES, w] > 0.0:
            out = lines[number, w] * pipe[P, j]
            pipe[DRAWN, j] += out
            lane[OUT, w] += lane[SHORT, w] * out
