"""Compiled work of the fast solver over all cells, faces and vessels of a block at once.

Every function runs over flat arrays, the lanes of a place side by side, with selections instead of branches, so that it
is done several lanes at a time. Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import GearState
from headstock.physics.fast_valves import CHOKED, CRITICAL, psi_and_slope, square
from headstock.physics.friction import LAMINAR_UP_TO, TURBULENT_FROM
from headstock.physics.pipe_network import ATMOSPHERE_PA

LEAST_DROP_PA = 10.0
"""Below this drop a choke is taken as linear: its slope would have no bound."""
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
def choke_lines(
    choke: Floats, over_volume: Floats, here: Floats, over: Floats, seen: Floats, held: Floats, short_rt: float, over_root: float,
    conduct: Floats, more_low: Floats, more_high: Floats,
) -> None:  # fmt: skip
    """Vessels behind chokes and check valves: conductances to what they held, their own filling put in; flat arrays."""
    for j in range(choke.size):
        drop = here[j] - seen[j]
        psi, _ = psi_and_slope(seen[j] * over[j])
        floor = drop if drop > LEAST_DROP_PA else LEAST_DROP_PA
        flow = choke[j] * here[j] * psi * over_root
        g = flow / (floor + flow * short_rt * over_volume[j])
        g = g if drop > 0.0 else 0.0
        conduct[j] = g
        more_low[j] += g
        more_high[j] += g * held[j]


@kernel
def gather(source: Floats, cells: Ints, rows: Floats) -> None:
    """Rows of some cells; one lane goes without the loop over lanes, whose preparation would cost more than its work."""
    if source.shape[1] == 1:
        for k in range(cells.size):
            rows[k, 0] = source[cells[k], 0]
        return
    for k in range(cells.size):
        i = cells[k]
        for w in range(source.shape[1]):
            rows[k, w] = source[i, w]


@kernel
def scatter(rows: Floats, cells: Ints, target: Floats) -> None:
    """Rows added to those of some cells."""
    if target.shape[1] == 1:
        for k in range(cells.size):
            target[cells[k], 0] += rows[k, 0]
        return
    for k in range(cells.size):
        i = cells[k]
        for w in range(target.shape[1]):
            target[i, w] += rows[k, w]


@kernel
def tally_brakes(leaked: Floats, spent: Floats, short: float, tally: Floats) -> None:
    """What brakes let out and put into cylinders."""
    if tally.shape[1] == 1:
        out, gone = 0.0, 0.0
        for k in range(leaked.shape[0]):
            out += leaked[k, 0]
            gone += spent[k, 0]
        tally[1, 0] += short * out
        tally[2, 0] += gone
        return
    for k in range(leaked.shape[0]):
        for w in range(tally.shape[1]):
            tally[1, w] += short * leaked[k, w]
            tally[2, w] += spent[k, w]


@kernel
def leak_lines(leak: Floats, over: Floats, over_root: float, conduct: Floats, more_low: Floats) -> None:
    """Leaks to the atmosphere as conductances from the pressure itself; flat arrays."""
    for j in range(leak.size):
        psi, _ = psi_and_slope(ATMOSPHERE_PA * over[j])
        g = leak[j] * psi * over_root
        conduct[j] = g
        more_low[j] = g


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
def sweeps(low: Floats, high: Floats, b: Floats, inverse: Floats, run: Floats, new: Floats) -> None:
    """Solves the tridiagonal system of every lane: down (reciprocals and right sides into ``inverse`` and ``run``), then up."""
    n, lanes = low.shape
    if lanes == 1 and n > 2:
        _sweeps_of_one(low, high, b, inverse, run, new)
        return
    for w in range(lanes):
        inverse[0, w] = 1.0 / low[0, w]
        run[0, w] = high[0, w]
    for i in range(1, n):
        for w in range(lanes):
            m = b[i, w] * inverse[i - 1, w]
            inverse[i, w] = 1.0 / (low[i, w] - m * b[i, w])
            run[i, w] = high[i, w] + m * run[i - 1, w]
    for w in range(lanes):
        new[n - 1, w] = run[n - 1, w] * inverse[n - 1, w]
    for i in range(n - 2, -1, -1):
        for w in range(lanes):
            new[i, w] = (run[i, w] + b[i + 1, w] * new[i + 1, w]) * inverse[i, w]


@kernel
def _sweeps_of_one(low: Floats, high: Floats, b: Floats, inverse: Floats, run: Floats, new: Floats) -> None:
    """The same for one lane from both ends towards the middle at once: half as many divisions wait for one another."""
    n = low.shape[0]
    middle = n // 2
    front, rear = 1.0 / low[0, 0], 1.0 / low[n - 1, 0]
    at_front, at_rear = high[0, 0], high[n - 1, 0]
    inverse[0, 0], run[0, 0], inverse[n - 1, 0], run[n - 1, 0] = front, at_front, rear, at_rear
    for i in range(1, middle):
        k = n - 1 - i
        m, u = b[i, 0] * front, b[k + 1, 0] * rear
        front = 1.0 / (low[i, 0] - m * b[i, 0])
        rear = 1.0 / (low[k, 0] - u * b[k + 1, 0]) if k > middle else rear
        at_front = high[i, 0] + m * at_front
        at_rear = high[k, 0] + u * at_rear if k > middle else at_rear
        inverse[i, 0], run[i, 0] = front, at_front
        if k > middle:
            inverse[k, 0], run[k, 0] = rear, at_rear
    m, u = b[middle, 0] * front, b[middle + 1, 0] * rear
    top = high[middle, 0] + m * at_front + u * at_rear
    new[middle, 0] = top / (low[middle, 0] - m * b[middle, 0] - u * b[middle + 1, 0])
    up = down = new[middle, 0]
    for i in range(middle - 1, -1, -1):
        up = (run[i, 0] + b[i + 1, 0] * up) * inverse[i, 0]
        new[i, 0] = up
        k = 2 * middle - i
        if k < n:
            down = (run[k, 0] + b[k, 0] * down) * inverse[k, 0]
            new[k, 0] = down


@kernel
def _decay(x: float) -> float:
    """exp(-x) for x >= 0 without a call: a polynomial at a sixteenth, squared four times; 1e-7 off up to x = 2."""
    t = x * 0.0625
    e = 1.0 + t * (1.0 + t * (0.5 + t * (1.0 / 6.0 + t * (1.0 / 24.0 + t * (1.0 / 120.0 + t * (1.0 / 720.0))))))
    e = e * e
    e = e * e
    e = e * e
    return 1.0 / (e * e)


@kernel
def vessel_steps(
    here: Floats, fill: Floats, store: Floats, leaks: Floats, held: Floats, held_store: Floats, guess_store: Floats,
    over_chamber: Floats, over_store: Floats, gain: Floats, most: Floats, fills: Floats, releases: Floats, volume: Floats,
    fed: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, aim: Floats, drawn: Floats, leaked: Floats,
    spent: Floats, miss: Floats,
    dt: float, short: float, over_alpha: float, rt: float, over_rt: float,
) -> float:  # fmt: skip
    """Vessels and cylinders after the pressures; what they draw; the greatest miss of a reservoir [Pa]; flat arrays."""
    for j in range(here.size):
        p = here[j]
        flow = fill[j] * (p - held[j])
        kept = held[j] + flow * short * rt * over_chamber[j]
        chamber[j] = kept
        taken = store[j] * (p - held_store[j])
        stored = held_store[j] + taken * short * rt * over_store[j]
        leak = leaks[j] * p
        drawn[j] = flow + taken + leak
        leaked[j] = leak
        target = gain[j] * (kept - p)
        target = target if target < most[j] else most[j]
        limit = stored - ATMOSPHERE_PA
        target = target if target < limit else limit
        target = target if target > 0.0 else 0.0
        # Exact for a target that runs straight from where it was to where it is.
        old, rate = cylinder[j], fills[j] if target > cylinder[j] else releases[j]
        behind = (target - aim[j]) / (dt * rate)
        new = target - behind + (old - aim[j] + behind) * _decay(dt * rate)
        new = new if new < limit else limit
        new = new if new > 0.0 else 0.0
        aim[j] = target
        rise = (new - old) * over_alpha
        rise = rise if rise > 0.0 else 0.0
        cylinder[j] = new
        reservoir[j] = stored - rise * volume[j] * over_store[j]
        spent[j] = rise * volume[j] * fed[j] * over_rt
    lanes = miss.size
    for w in range(lanes):
        miss[w] = 0.0
    for k in range(here.size // lanes):
        for w in range(lanes):
            off = abs(reservoir[k * lanes + w] - guess_store[k * lanes + w])
            miss[w] = off if off > miss[w] else miss[w]
    worst = 0.0
    for w in range(lanes):
        worst = max(worst, miss[w])
    return worst


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


@kernel
def sample(
    probes: Ints, p: Floats, q: Floats, half: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, row: Floats
) -> None:
    """One row of readings [Pa, absolute]; the ends are read at their face, half a cell of friction on."""
    n = p.shape[0]
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        for w in range(p.shape[1]):
            if kind == 0:
                row[k, w] = p[number, w]
            elif kind == 1:
                row[k, w] = chamber[number, w]
            elif kind == 2:
                row[k, w] = reservoir[number, w]
            elif kind == 3:
                row[k, w] = cylinder[number, w] + ATMOSPHERE_PA
            elif kind > 4:
                row[k, w] = 0.0
            elif number == 0:
                row[k, w] = sqrt(max(p[0, w] * p[0, w] + half[0, w] * q[0, w] * abs(q[0, w]), 1.0))
            else:
                row[k, w] = sqrt(max(p[n - 1, w] * p[n - 1, w] - half[1, w] * q[n, w] * abs(q[n, w]), 1.0))


@kernel
def sample_gear(probes: Ints, state: GearState, row: Floats) -> None:
    """The same of vessels and of distributors' cylinders, where the higher of two circuits counts [Pa, absolute]."""
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        for w in range(row.shape[1]):
            if kind == 5:
                row[k, w] = state.level[number, w]
            elif kind == 6:
                row[k, w] = max(state.auto[number, w], state.electric[number, w]) + ATMOSPHERE_PA


@kernel
def targets(p: Floats, brake_cell: Ints, brakes: Floats, chamber: Floats, reservoir: Floats) -> Floats:
    """What each cylinder goes to at the pressures of now [Pa, gauge]; flat."""
    count, lanes = chamber.shape
    found = np.empty(count * lanes)
    for k in range(count):
        for w in range(lanes):
            target = brakes[7, k, w] * (chamber[k, w] - p[brake_cell[k], w])
            target = min(target, brakes[8, k, w], reservoir[k, w] - ATMOSPHERE_PA)
            found[k * lanes + w] = max(target, 0.0)
    return found
