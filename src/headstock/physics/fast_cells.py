"""Compiled work of the fast solver over all cells and faces of a block at once.

Every function runs over flat arrays, the lanes of a place side by side, with selections instead of branches, so that it
is done several lanes at a time. Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_nozzle import CHOKED, CRITICAL, square
from headstock.physics.friction import LAMINAR_UP_TO, TURBULENT_FROM

LAMINAR_NUMBER = 64.0
"""Darcy factor times Reynolds number in laminar flow."""


@kernel
def extrapolate(level: Floats, earlier: Floats, ratio: float, now: float, before: float, guess: Floats, late: Floats) -> None:
    """The straight line through two levels, and what both bring into the backward difference formula; flat arrays."""
    for j in range(level.size):
        x, y = level[j], earlier[j]
        guess[j] = x + ratio * (x - y)
        late[j] = now * x - before * y


@kernel
def extrapolate_pressures(
    level: Floats, earlier: Floats, ratio: float, now: float, before: float, guess: Floats, late: Floats, over: Floats
) -> None:
    """The same for pressures, kept above half of what is there, and their reciprocals; flat arrays."""
    for j in range(level.size):
        x, y = level[j], earlier[j]
        least = 0.5 * x
        ahead = x + ratio * (x - y)
        ahead = ahead if ahead > least else least
        guess[j] = ahead
        late[j] = now * x - before * y
        over[j] = 1.0 / ahead


@kernel
def push(left: Floats, right: Floats, momentum: Floats, over: Floats, fastest: float, pushed: Floats) -> None:
    """Momentum flux of each cell from the flows at its two faces, with no air faster than sound; flat arrays."""
    for j in range(momentum.size):
        mean = 0.5 * (left[j] + right[j])
        speed = mean * momentum[j] * over[j]
        speed = speed if speed < fastest else fastest
        speed = speed if speed > -fastest else -fastest
        pushed[j] = mean * speed


@kernel
def face_lines(
    flow: Floats, over_l: Floats, over_r: Floats, reynolds: Floats, wall: Floats, loss: Floats, branch: Floats, drawn_l: Floats,
    drawn_r: Floats, push_l: Floats, push_r: Floats, pull: Floats, slim: Floats, extra: Floats, late: Floats, fit0: Floats,
    fit1: Floats, fit2: Floats, fit3: Floats, short: float, a: Floats, b: Floats,
) -> None:  # fmt: skip
    """Each inner face: its new flow as a + b (pressure before - pressure behind); flat arrays, friction by Newton's form."""
    for j in range(flow.size):
        here = flow[j]
        size = abs(here)
        mean = 2.0 * over_l[j] * over_r[j] / (over_l[j] + over_r[j])
        re = size * reynolds[j]
        root = sqrt(re + 1.0)
        rough = (fit0[j] * re + fit2[j]) + (fit1[j] * (re + 1.0) + fit3[j]) / root
        share = (re - LAMINAR_UP_TO) * (1.0 / (TURBULENT_FROM - LAMINAR_UP_TO))
        share = share if share > 0.0 else 0.0
        number = rough if re > TURBULENT_FROM else LAMINAR_NUMBER + share * (rough - LAMINAR_NUMBER)
        k = (loss[j] * size + wall[j] * number) * mean + extra[j]
        side = branch[j] * (drawn_l[j] + drawn_r[j]) * mean
        bottom = 1.0 / (1.0 + short * (2.0 * k + side))
        a[j] = (late[j] + short * (k * here + (push_l[j] - push_r[j]) * slim[j])) * bottom
        b[j] = short * pull[j] * bottom


@kernel
def cell_rows(
    cap: Floats, late: Floats, b_l: Floats, b_r: Floats, a_l: Floats, a_r: Floats, over_short: float, low: Floats, high: Floats
) -> None:
    """Diagonal and right side of each cell without its side devices; flat arrays."""
    for j in range(cap.size):
        c = cap[j] * over_short
        low[j] = c + b_l[j] + b_r[j]
        high[j] = c * late[j] + a_l[j] - a_r[j]


@kernel
def furthest(new: Floats, guess: Floats, miss: Floats, wrong: Floats) -> float:
    """The greatest miss of the extrapolated pressures [Pa], negative if a pressure is none."""
    lanes = miss.size
    if lanes == 1:
        return _furthest_of_one(new.ravel(), guess.ravel())
    for w in range(lanes):
        miss[w] = 0.0
        wrong[w] = 0.0
    for i in range(new.shape[0]):
        for w in range(lanes):
            x = new[i, w]
            off = abs(x - guess[i, w])
            miss[w] = off if off > miss[w] else miss[w]
            wrong[w] += 0.0 if 1.0 < x < 1e8 else 1.0
    worst, bad = 0.0, 0.0
    for w in range(lanes):
        worst = max(worst, miss[w])
        bad += wrong[w]
    return worst if bad == 0.0 else -1.0


@kernel
def _furthest_of_one(new: Floats, guess: Floats) -> float:
    worst, bad = 0.0, 0.0
    for i in range(new.size):
        off = abs(new[i] - guess[i])
        worst = off if off > worst else worst
        bad += 0.0 if 1.0 < new[i] < 1e8 else 1.0
    return worst if bad == 0.0 else -1.0


@kernel
def gates_that(area: Floats, shut: bool) -> Ints:
    """Numbers of the gates that are shut in some lane, or part-open in some lane."""
    found = np.zeros(area.shape[0], dtype=np.int64)
    count = 0
    for g in range(area.shape[0]):
        is_so = False
        for w in range(area.shape[1]):
            is_so = is_so or (area[g, w] == 0.0 if shut else area[g, w] > 0.0)
        if is_so:
            found[count] = g
            count += 1
    return found[:count]


@kernel
def gate_row(gate: Floats, before: Floats, behind: Floats, flow: Floats, pull: Floats, rt: float, extra: Floats) -> None:
    """The drag of a part-open gate; nothing where it is shut (seen to elsewhere) or fully open."""
    for w in range(gate.size):
        extra[w] = 0.0
        if gate[w] > 0.0:
            up = before[w] if flow[w] > 0.0 else behind[w]
            down = behind[w] if flow[w] > 0.0 else before[w]
            r = min(down / up, 1.0)
            h = square(r) if r > CRITICAL else CHOKED * CHOKED / (1.0 - r)
            extra[w] = pull[w] * rt * abs(flow[w]) / (gate[w] * gate[w] * up * h)


@kernel
def shift(new: Floats, level: Floats, earlier: Floats) -> None:
    """The new level in, the last one kept; flat arrays."""
    for j in range(new.size):
        earlier[j] = level[j]
        level[j] = new[j]


@kernel
def new_flows(a: Floats, b: Floats, p_l: Floats, p_r: Floats, q: Floats, earlier: Floats) -> None:
    """Flows from their lines and the new pressures before and behind, the last ones kept; flat arrays."""
    for j in range(a.size):
        earlier[j] = q[j]
        q[j] = a[j] + b[j] * (p_l[j] - p_r[j])
