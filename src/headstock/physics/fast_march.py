"""Compiled stepping of the fast solver: a few cells a vehicle, many scenarios (lanes) side by side, isothermal.

Pressures sit in cells, flows on the faces between them. Each step is one implicit solve: flows linearised about the
extrapolated state are put into the cells' mass balance, which leaves a symmetric tridiagonal system per lane; then flows, vessels and
cylinders follow. Second order in time by the variable-step backward difference formula (first order after an event),
the step chosen from how far the new pressures miss the extrapolated ones. Lanes share the step.

Source: textbook forms (closed form). Arrays are [place][lane], the lane contiguous.
"""

from __future__ import annotations

from math import exp, sqrt

import numpy as np

from headstock.physics import gas, orifice
from headstock.physics._compile import kernel
from headstock.physics.fine_faces import Floats, R
from headstock.physics.fine_march import Ints
from headstock.physics.pipe_network import ATMOSPHERE_PA

CHOKED = orifice.CHOKED_COEFFICIENT
CRITICAL = orifice.CRITICAL_RATIO
LINEAR_FROM = orifice.LINEAR_FROM
ENDED, ROWS_FULL, BROKEN = 1, 2, 3
GROWTH, SHRINK, LONGEST_STEP_S = 1.4, 0.4, 2.0
LEAST_DROP_PA = 10.0
TOO_FAR = 16.0
"""A step whose pressures miss the extrapolated ones by so many tolerances is taken again, shorter."""
NEWTON_ROUNDS = 6
LOW_RE, HIGH_RE = 2300.0, 4000.0


def fitted_flow_function() -> tuple[float, ...]:
    """Coefficients of a quartic h with psi^2 = (1 - r) h(r) between the critical ratio and 0.999, by least squares."""
    ratio = 0.5 * (CRITICAL + LINEAR_FROM) + 0.5 * (LINEAR_FROM - CRITICAL) * np.cos(np.linspace(0.0, np.pi, 400))
    psi = np.array([orifice.flow_function(float(r)) for r in ratio])
    return tuple(float(c) for c in np.polyfit(ratio, psi**2 / (1.0 - ratio), 4))


H4, H3, H2, H1, H0 = fitted_flow_function()
PSI_AT_LINEAR = float(np.sqrt((1.0 - LINEAR_FROM) * np.polyval((H4, H3, H2, H1, H0), LINEAR_FROM)))


@kernel
def _square(ratio: float) -> float:
    """h(r) with psi^2 = (1 - r) h(r)."""
    return (((H4 * ratio + H3) * ratio + H2) * ratio + H1) * ratio + H0


@kernel
def _psi(ratio: float) -> float:
    r = min(max(ratio, CRITICAL), LINEAR_FROM)
    psi = sqrt((1.0 - r) * _square(r))
    return psi if ratio <= LINEAR_FROM else PSI_AT_LINEAR * max(1.0 - ratio, 0.0) / (1.0 - LINEAR_FROM)


@kernel
def _psi_slope(ratio: float) -> float:
    """d psi / d r: nothing below the critical ratio, a straight line above 0.999."""
    if ratio <= CRITICAL:
        return 0.0
    if ratio > LINEAR_FROM:
        return -PSI_AT_LINEAR / (1.0 - LINEAR_FROM)
    h = _square(ratio)
    slope = ((4.0 * H4 * ratio + 3.0 * H3) * ratio + 2.0 * H2) * ratio + H1
    return 0.5 * ((1.0 - ratio) * slope - h) / sqrt((1.0 - ratio) * h)


@kernel
def _valve(valve: Floats, w: int, face_pa: float, rise: float, over_root: float) -> tuple[float, float]:
    """Net inflow of a valve [kg/s] at a face pressure, and its slope; ``rise`` = stagnation over static pressure."""
    flow, slope = 0.0, 0.0
    if valve[1, w] > 0.0 and face_pa < valve[0, w]:
        share = min(1.0, max(0.0, (valve[2, w] - face_pa) / valve[5, w]))
        bend = -1.0 / valve[5, w] if 0.0 < share < 1.0 else 0.0
        ratio = face_pa / valve[0, w]
        psi = _psi(ratio)
        flow += valve[1, w] * share * valve[0, w] * psi * over_root
        slope += valve[1, w] * over_root * (share * _psi_slope(ratio) + bend * valve[0, w] * psi)
    if valve[3, w] > 0.0 and face_pa * rise > ATMOSPHERE_PA:
        share = min(1.0, max(0.0, (face_pa - valve[4, w]) / valve[5, w]))
        bend = 1.0 / valve[5, w] if 0.0 < share < 1.0 else 0.0
        ratio = ATMOSPHERE_PA / (face_pa * rise)
        psi = _psi(ratio)
        flow -= valve[3, w] * share * face_pa * rise * psi * over_root
        slope -= valve[3, w] * rise * over_root * (share * (psi - ratio * _psi_slope(ratio)) + bend * face_pa * psi)
    return flow, slope


@kernel
def _end_flow(
    valve: Floats, w: int, cell_pa: float, half: float, start: float, area: float, rt: float, over_root: float
) -> tuple[float, float]:
    """Inflow at an end through half a cell of friction [kg/s], and its slope over the cell's pressure.

    The valve's own flow at the cell's pressure and nothing at all enclose the flow that both agree on.
    """
    through, slope = _valve(valve, w, cell_pa, 1.0, over_root)
    low, high = min(through, 0.0), max(through, 0.0)
    if through == 0.0:
        return 0.0, 0.0
    flow = min(max(start, low), high)
    if flow == 0.0:
        flow = 0.5 * (low + high)
    face, bend = cell_pa, 0.0
    for _ in range(NEWTON_ROUNDS):
        face = sqrt(max(cell_pa * cell_pa + half * flow * abs(flow), 1.0))
        speed = flow * rt / (area * face)
        rise = exp(min(0.5 * speed * speed / rt, 0.5)) if flow < 0.0 else 1.0
        through, slope = _valve(valve, w, face, rise, over_root)
        bend = half * abs(flow) / face
        miss = through - flow
        if miss > 0.0:
            low = flow
        else:
            high = flow
        following = flow + miss / (1.0 - slope * bend)
        if not low < following < high:
            following = 0.5 * (low + high)
        step = abs(following - flow)
        flow = following
        if step < 1e-8:
            break
    return flow, slope * (cell_pa / face) / (1.0 - slope * bend)


@kernel
def _extrapolate(
    level: Floats, earlier: Floats, ratio: float, now: float, before: float, guess: Floats, late: Floats
) -> None:
    """The straight line through two levels, and what both bring into the backward difference formula; flat arrays."""
    for j in range(level.size):
        x, y = level[j], earlier[j]
        guess[j] = x + ratio * (x - y)
        late[j] = now * x - before * y


@kernel
def _bounded(level: Floats, guess: Floats, over: Floats) -> None:
    """Extrapolated pressures kept above half of what is there, and their reciprocals; flat arrays."""
    for j in range(level.size):
        least = 0.5 * level[j]
        x = guess[j] if guess[j] > least else least
        guess[j] = x
        over[j] = 1.0 / x


@kernel
def _push(left: Floats, right: Floats, momentum: Floats, over: Floats, pushed: Floats) -> None:
    """Momentum flux of each cell from the flows at its two faces; flat arrays."""
    for j in range(momentum.size):
        mean = 0.5 * (left[j] + right[j])
        pushed[j] = mean * mean * momentum[j] * over[j]


@kernel
def _faces(
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
        share = (re - LOW_RE) * (1.0 / (HIGH_RE - LOW_RE))
        share = share if share > 0.0 else 0.0
        number = rough if re > HIGH_RE else 64.0 + share * (rough - 64.0)
        k = (loss[j] * size + wall[j] * number) * mean + extra[j]
        side = branch[j] * (drawn_l[j] + drawn_r[j]) * mean
        bottom = 1.0 / (1.0 + short * (2.0 * k + side))
        a[j] = (late[j] + short * (k * here + (push_l[j] - push_r[j]) * slim[j])) * bottom
        b[j] = short * pull[j] * bottom


@kernel
def _cells(
    cap: Floats, late: Floats, b_l: Floats, b_r: Floats, a_l: Floats, a_r: Floats, over_short: float, low: Floats, high: Floats
) -> None:
    """Diagonal and right side of each cell without its side devices; flat arrays."""
    for j in range(cap.size):
        c = cap[j] * over_short
        low[j] = c + b_l[j] + b_r[j]
        high[j] = c * late[j] + a_l[j] - a_r[j]


@kernel
def _chokes(
    choke: Floats, over_volume: Floats, here: Floats, over: Floats, seen: Floats, held: Floats, short_rt: float, over_root: float,
    conduct: Floats, more_low: Floats, more_high: Floats,
) -> None:  # fmt: skip
    """Vessels behind chokes and check valves: conductances to what they held, their own filling put in; flat arrays."""
    for j in range(choke.size):
        drop = here[j] - seen[j]
        ratio = seen[j] * over[j]
        r = ratio if ratio > CRITICAL else CRITICAL
        r = r if r < LINEAR_FROM else LINEAR_FROM
        psi = sqrt((1.0 - r) * ((((H4 * r + H3) * r + H2) * r + H1) * r + H0))
        psi = psi if ratio <= LINEAR_FROM else PSI_AT_LINEAR * (1.0 - ratio) * (1.0 / (1.0 - LINEAR_FROM))
        floor = drop if drop > LEAST_DROP_PA else LEAST_DROP_PA
        flow = choke[j] * here[j] * psi * over_root
        g = flow / (floor + flow * short_rt * over_volume[j])
        g = g if drop > 0.0 else 0.0
        conduct[j] = g
        more_low[j] += g
        more_high[j] += g * held[j]


@kernel
def _leaks(leak: Floats, over: Floats, over_root: float, conduct: Floats, more_low: Floats) -> None:
    """Leaks to the atmosphere as conductances from the pressure itself; flat arrays."""
    for j in range(leak.size):
        ratio = ATMOSPHERE_PA * over[j]
        r = ratio if ratio > CRITICAL else CRITICAL
        r = r if r < LINEAR_FROM else LINEAR_FROM
        psi = sqrt((1.0 - r) * ((((H4 * r + H3) * r + H2) * r + H1) * r + H0))
        g = leak[j] * psi * over_root
        g = g if ratio < LINEAR_FROM else 0.0
        conduct[j] = g
        more_low[j] = g


@kernel
def _down_row(b: Floats, low_l: Floats, high_l: Floats, low: Floats, high: Floats) -> None:
    for w in range(b.size):
        m = b[w] / low_l[w]
        low[w] -= m * b[w]
        high[w] += m * high_l[w]


@kernel
def _up_row(b: Floats, new_r: Floats, low: Floats, high: Floats, new: Floats) -> None:
    for w in range(b.size):
        new[w] = (high[w] + b[w] * new_r[w]) / low[w]


@kernel
def _furthest(new: Floats, guess: Floats) -> float:
    """The greatest miss of the extrapolated pressures [Pa], negative if a pressure is none; flat arrays."""
    worst, least, most = 0.0, 1e9, 0.0
    for j in range(new.size):
        miss = abs(new[j] - guess[j])
        worst = miss if miss > worst else worst
        least = new[j] if new[j] < least else least
        most = new[j] if new[j] > most else most
    total = np.sum(new)  # any NaN, which no comparison above would take
    return worst if least > 1.0 and most < 1e8 and total == total else -1.0


@kernel
def _vessels(
    here: Floats, fill: Floats, store: Floats, leaks: Floats, held: Floats, held_store: Floats, guess_store: Floats,
    over_chamber: Floats, over_store: Floats, gain: Floats, most: Floats, fills: Floats, releases: Floats, volume: Floats,
    fed: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, drawn: Floats, leaked: Floats, spent: Floats, dt: float,
    short: float, over_alpha: float, rt: float,
) -> float:  # fmt: skip
    """Vessels and cylinders after the pressures; what they draw; the greatest miss of a reservoir [Pa]; flat arrays."""
    worst = 0.0
    for j in range(here.size):
        p = here[j]
        flow = fill[j] * (p - held[j])
        kept = held[j] + flow * short * rt * over_chamber[j]
        chamber[j] = kept
        taken = store[j] * (p - held_store[j])
        stored = held_store[j] + taken * short * rt * over_store[j]
        off = abs(stored - guess_store[j])
        worst = off if off > worst else worst
        leak = leaks[j] * p
        drawn[j] = flow + taken + leak
        leaked[j] = leak
        target = gain[j] * (kept - p)
        target = target if target < most[j] else most[j]
        limit = stored - ATMOSPHERE_PA
        target = target if target < limit else limit
        target = target if target > 0.0 else 0.0
        old = cylinder[j]
        new = target + (old - target) * exp(-dt * (fills[j] if target > old else releases[j]))
        rise = (new - old) * over_alpha
        rise = rise if rise > 0.0 else 0.0
        cylinder[j] = new
        reservoir[j] = stored - rise * volume[j] * over_store[j]
        spent[j] = rise * volume[j] * fed[j] / rt
    return worst


@kernel
def _gate_row(gate: Floats, before: Floats, behind: Floats, flow: Floats, pull: Floats, rt: float, extra: Floats) -> None:
    """The drag of a part-open gate; nothing where it is shut (seen to elsewhere) or fully open."""
    for w in range(gate.size):
        extra[w] = 0.0
        if gate[w] > 0.0:
            up = before[w] if flow[w] > 0.0 else behind[w]
            down = behind[w] if flow[w] > 0.0 else before[w]
            r = min(down / up, 1.0)
            h = _square(r) if r > CRITICAL else CHOKED * CHOKED / (1.0 - r)
            extra[w] = pull[w] * rt * abs(flow[w]) / (gate[w] * gate[w] * up * h)


@kernel
def _shift(new: Floats, level: Floats, earlier: Floats) -> None:
    for j in range(new.size):
        earlier[j] = level[j]
        level[j] = new[j]


@kernel
def _flows(a: Floats, b: Floats, p_l: Floats, p_r: Floats, q: Floats) -> None:
    for j in range(a.size):
        q[j] = a[j] + b[j] * (p_l[j] - p_r[j])


@kernel
def _sample(probes: Ints, p: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, row: Floats) -> None:
    """One row of readings [Pa, absolute]."""
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        for w in range(p.shape[1]):
            if kind == 0:
                row[k, w] = p[number, w]
            elif kind == 1:
                row[k, w] = chamber[number, w]
            elif kind == 2:
                row[k, w] = reservoir[number, w]
            else:
                row[k, w] = cylinder[number, w] + ATMOSPHERE_PA


@kernel
def march_fast(
    p: Floats, q: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, tally: Floats, p1: Floats, q1: Floats,
    chamber1: Floats, reservoir1: Floats, tally1: Floats, clock: Floats, until_s: float, first_s: float, tolerance_pa: float,
    cap: Floats, pull: Floats, slim: Floats, area: Floats, reynolds: Floats, wall: Floats, loss: Floats, momentum: Floats,
    branch: Floats, half: Floats, fit: Floats, gate_face: Ints, gate_area: Floats, brake_cell: Ints, brakes: Floats,
    front: Floats, rear: Floats, valve_cell: Ints, valves: Floats, rt: float, probes: Ints, times: Floats, readings: Floats,
) -> tuple[int, int]:  # fmt: skip
    """Steps from ``clock[0]`` until a time [s]; returns why it stopped and how many rows of readings it wrote.

    State, changed in place: pressures ``p`` (n, lanes), flows ``q`` (n + 1, lanes), vessels (brakes, lanes), ``tally`` (fed, let out,
    to cylinders; lanes), each with its level before (``p1`` and so on); ``clock``: time, step to come, last step (0: first order
    next), steps so far.
    """
    n, lanes = p.shape
    count = brake_cell.size
    over_root = 1.0 / sqrt(rt)
    guess, late_p, over, pushed = np.empty((n, lanes)), np.empty((n, lanes)), np.empty((n, lanes)), np.empty((n, lanes))
    flows, late_q = np.empty((n + 1, lanes)), np.empty((n + 1, lanes))
    a, b, extra = np.zeros((n + 1, lanes)), np.zeros((n + 1, lanes)), np.zeros((n + 1, lanes))
    low, high, new, drawn = np.empty((n, lanes)), np.empty((n, lanes)), np.empty((n, lanes)), np.zeros((n, lanes))
    seen, held = np.empty((count, lanes)), np.empty((count, lanes))
    seen_store, held_store = np.empty((count, lanes)), np.empty((count, lanes))
    here, inverse, more_low, more_high = np.empty((count, lanes)), np.empty((count, lanes)), np.empty((count, lanes)), np.empty((count, lanes))
    taken, leaked, spent = np.empty((count, lanes)), np.empty((count, lanes)), np.empty((count, lanes))
    sums, held_sums = np.empty((3, lanes)), np.empty((3, lanes))
    fill, store, leaks = np.zeros((count, lanes)), np.zeros((count, lanes)), np.zeros((count, lanes))
    first_slope, last_slope = np.zeros(lanes), np.zeros(lanes)
    valve_slope, valve_flow = np.zeros((valve_cell.size, lanes)), np.zeros((valve_cell.size, lanes))
    # Flat views, made once: the stretch of faces between cells, each with the cells before and behind it.
    inner, ahead = slice(lanes, n * lanes), slice(0, (n - 1) * lanes)
    p_, q_, p1_, q1_, guess_, late_p_, over_ = p.ravel(), q.ravel(), p1.ravel(), q1.ravel(), guess.ravel(), late_p.ravel(), over.ravel()
    flows_, late_q_, pushed_, a_, b_ = flows.ravel(), late_q.ravel(), pushed.ravel(), a.ravel(), b.ravel()
    low_, high_, new_, drawn_, extra_ = low.ravel(), high.ravel(), new.ravel(), drawn.ravel(), extra.ravel()
    fit0, fit1, fit2, fit3 = fit[0].ravel()[inner], fit[1].ravel()[inner], fit[2].ravel()[inner], fit[3].ravel()[inner]
    whole = n * lanes
    written = 0
    while clock[0] < until_s:
        left = until_s - clock[0]
        dt = clock[1]
        last = dt >= left * (1.0 - 1e-12)
        if last:
            dt = left
        elif 2.0 * dt > left:
            dt = 0.5 * left
        ratio = dt / clock[2] if clock[2] > 0.0 else 0.0
        alpha = (1.0 + 2.0 * ratio) / (1.0 + ratio)
        now, before = (1.0 + ratio) / alpha, ratio * ratio / (1.0 + ratio) / alpha
        short = dt / alpha
        _extrapolate(p_, p1_, ratio, now, before, guess_, late_p_)
        _bounded(p_, guess_, over_)
        _extrapolate(q_, q1_, ratio, now, before, flows_, late_q_)
        _extrapolate(chamber.ravel(), chamber1.ravel(), ratio, now, before, seen.ravel(), held.ravel())
        _extrapolate(reservoir.ravel(), reservoir1.ravel(), ratio, now, before, seen_store.ravel(), held_store.ravel())
        _push(flows_[:whole], flows_[lanes:], momentum.ravel(), over_, pushed_)
        for g in range(gate_face.size):
            f = gate_face[g]
            _gate_row(gate_area[g], guess[f - 1], guess[f], flows[f], pull[f], rt, extra[f])
        _faces(flows_[inner], over_[ahead], over_[lanes:], reynolds.ravel()[inner], wall.ravel()[inner], loss.ravel()[inner],
               branch.ravel()[inner], drawn_[ahead], drawn_[lanes:], pushed_[ahead], pushed_[lanes:], pull.ravel()[inner],
               slim.ravel()[inner], extra_[inner], late_q_[inner], fit0, fit1, fit2, fit3, short, a_[inner], b_[inner])  # fmt: skip
        for g in range(gate_face.size):
            f = gate_face[g]
            for w in range(lanes):
                if gate_area[g, w] == 0.0:
                    a[f, w] = 0.0
                    b[f, w] = 0.0
        for w in range(lanes):
            a[0, w] = 0.0
            a[n, w] = 0.0
        _cells(cap.ravel(), late_p_, b_[:whole], b_[lanes:], a_[:whole], a_[lanes:], 1.0 / short, low_, high_)
        for k in range(count):
            i = brake_cell[k]
            for w in range(lanes):
                here[k, w] = guess[i, w]
                inverse[k, w] = over[i, w]
                more_high[k, w] = 0.0
        _leaks(brakes[5].ravel(), inverse.ravel(), over_root, leaks.ravel(), more_low.ravel())
        _chokes(brakes[1].ravel(), brakes[11].ravel(), here.ravel(), inverse.ravel(), seen.ravel(), held.ravel(), short * rt,
                over_root, fill.ravel(), more_low.ravel(), more_high.ravel())  # fmt: skip
        _chokes(brakes[3].ravel(), brakes[12].ravel(), here.ravel(), inverse.ravel(), seen_store.ravel(), held_store.ravel(),
                short * rt, over_root, store.ravel(), more_low.ravel(), more_high.ravel())  # fmt: skip
        for k in range(count):
            i = brake_cell[k]
            for w in range(lanes):
                low[i, w] += more_low[k, w]
                high[i, w] += more_high[k, w]
        for v in range(valve_cell.size):
            i = valve_cell[v]
            for w in range(lanes):
                flow, slope = _valve(valves[v], w, guess[i, w], 1.0, over_root)
                valve_slope[v, w], valve_flow[v, w] = slope, flow - slope * guess[i, w]
                low[i, w] -= slope
                high[i, w] += valve_flow[v, w]
        for w in range(lanes):
            flow, slope = _end_flow(front, w, guess[0, w], half[0, w], flows[0, w], area[0, w], rt, over_root)
            first_slope[w] = slope
            a[0, w] = flow - slope * guess[0, w]
            low[0, w] -= slope
            high[0, w] += a[0, w]
            flow, slope = _end_flow(rear, w, guess[n - 1, w], half[1, w], -flows[n, w], area[n, w], rt, over_root)
            last_slope[w] = slope
            a[n, w] = flow - slope * guess[n - 1, w]
            low[n - 1, w] -= slope
            high[n - 1, w] += a[n, w]
        for i in range(1, n):
            _down_row(b[i], low[i - 1], high[i - 1], low[i], high[i])
        for w in range(lanes):
            new[n - 1, w] = high[n - 1, w] / low[n - 1, w]
        for i in range(n - 2, -1, -1):
            _up_row(b[i + 1], new[i + 1], low[i], high[i], new[i])
        error = _furthest(new_, guess_)
        if (error < 0.0 or error > TOO_FAR * tolerance_pa) and dt > 1.001 * first_s:
            clock[1] = max(first_s, SHRINK * dt)  # nothing has been changed yet: again, shorter
            continue
        if error < 0.0:
            return BROKEN, written
        _extrapolate(tally.ravel(), tally1.ravel(), ratio, now, before, sums.ravel(), held_sums.ravel())
        _shift(new_, p_, p1_)
        for j in range(drawn_.size):
            drawn_[j] = 0.0
        for j in range(q_.size):
            q1_[j] = q_[j]
        _flows(a_[inner], b_[inner], p_[ahead], p_[lanes:], q_[inner])
        for w in range(lanes):
            q[0, w] = a[0, w] + first_slope[w] * p[0, w]
            q[n, w] = -(a[n, w] + last_slope[w] * p[n - 1, w])
            for k in range(3):
                tally1[k, w] = tally[k, w]
                tally[k, w] = held_sums[k, w]
            tally[0, w] += short * (max(q[0, w], 0.0) + max(-q[n, w], 0.0))
            tally[1, w] += short * (max(-q[0, w], 0.0) + max(q[n, w], 0.0))
        for v in range(valve_cell.size):
            i = valve_cell[v]
            for w in range(lanes):
                flow = valve_flow[v, w] + valve_slope[v, w] * p[i, w]
                tally[0, w] += short * max(flow, 0.0)
                tally[1, w] += short * max(-flow, 0.0)
                drawn[i, w] -= flow
        for k in range(count):
            for w in range(lanes):
                here[k, w] = p[brake_cell[k], w]
                chamber1[k, w] = chamber[k, w]
                reservoir1[k, w] = reservoir[k, w]
        missed = _vessels(
            here.ravel(), fill.ravel(), store.ravel(), leaks.ravel(), held.ravel(), held_store.ravel(), seen_store.ravel(),
            brakes[11].ravel(), brakes[12].ravel(), brakes[7].ravel(), brakes[8].ravel(), brakes[9].ravel(), brakes[10].ravel(),
            brakes[6].ravel(), brakes[4].ravel(), chamber.ravel(), reservoir.ravel(), cylinder.ravel(), taken.ravel(),
            leaked.ravel(), spent.ravel(), dt, short, 1.0 / alpha, rt,
        )  # fmt: skip
        for k in range(count):
            for w in range(lanes):
                drawn[brake_cell[k], w] += taken[k, w]
                tally[1, w] += short * leaked[k, w]
                tally[2, w] += spent[k, w]
        error = max(error, missed)
        clock[0] = until_s if last else clock[0] + dt
        clock[2] = dt
        clock[3] += 1.0
        wish = min(GROWTH, max(SHRINK, sqrt(tolerance_pa / max(error, 1e-3))))
        clock[1] = min(LONGEST_STEP_S, max(first_s, dt * wish))
        if times.size > 0:
            times[written] = clock[0]
            _sample(probes, p, chamber, reservoir, cylinder, readings[written])
            written += 1
            if written == times.size and clock[0] < until_s:
                return ROWS_FULL, written
    return ENDED, written
