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
def march_fast(
    p: Floats, q: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, tally: Floats, p1: Floats, q1: Floats,
    chamber1: Floats, reservoir1: Floats, tally1: Floats, clock: Floats, until_s: float, first_s: float, tolerance_pa: float,
    cap: Floats, pull: Floats, area: Floats, reynolds_per_flow: Floats, wall: Floats, loss: Floats, momentum: Floats,
    branch: Floats, half: Floats, fit: Floats, gate_face: Ints, gate_area: Floats, brake_cell: Ints, brakes: Floats,
    front: Floats, rear: Floats, valve_cell: Ints, valves: Floats, rt: float, probes: Ints, times: Floats, readings: Floats,
) -> tuple[int, int]:  # fmt: skip
    """Steps from ``clock[0]`` until a time [s]; returns why it stopped and how many rows of readings it wrote.

    State, changed in place: pressures ``p`` (n, lanes), flows ``q`` (n + 1, lanes), vessels (brakes, lanes), ``tally`` (fed, let out,
    to cylinders; lanes), each with its level before (``p1`` and so on); ``clock``: time, step to come, last step (0: first order next).
    """
    n, lanes = p.shape
    over_root = 1.0 / sqrt(rt)
    guess, flows, late_p, late_q = np.empty((n, lanes)), np.empty((n + 1, lanes)), np.empty((n, lanes)), np.empty((n + 1, lanes))
    a, b, low, high = np.zeros((n + 1, lanes)), np.zeros((n + 1, lanes)), np.empty((n, lanes)), np.empty((n, lanes))
    drawn, gain = np.zeros((n, lanes)), np.zeros((n, lanes))
    pushed, over = np.empty((n, lanes)), np.empty((n, lanes))
    extra = np.zeros((n + 1, lanes))
    conduct = np.zeros((2, brake_cell.size, lanes))
    first_slope, last_slope = np.zeros(lanes), np.zeros(lanes)
    valve_slope, valve_flow = np.zeros((valve_cell.size, lanes)), np.zeros((valve_cell.size, lanes))
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
        # What is extrapolated, and what the old levels bring into the formula.
        for i in range(n):
            for w in range(lanes):
                guess[i, w] = max(p[i, w] + ratio * (p[i, w] - p1[i, w]), 0.5 * p[i, w])
                late_p[i, w] = now * p[i, w] - before * p1[i, w]
                over[i, w] = 1.0 / guess[i, w]
        for f in range(n + 1):
            for w in range(lanes):
                flows[f, w] = q[f, w] + ratio * (q[f, w] - q1[f, w])
                late_q[f, w] = now * q[f, w] - before * q1[f, w]
                extra[f, w] = 0.0
        for i in range(n):
            for w in range(lanes):
                mean = 0.5 * (flows[i, w] + flows[i + 1, w])
                pushed[i, w] = mean * mean * momentum[i, w] * over[i, w]
        for k in range(gate_face.size):  # part-open gates: a drag of their own; shut ones are seen to below
            f = gate_face[k]
            for w in range(lanes):
                if 0.0 < gate_area[k, w]:
                    up = max(guess[f - 1, w], guess[f, w]) if flows[f, w] == 0.0 else (
                        guess[f - 1, w] if flows[f, w] > 0.0 else guess[f, w])
                    down = min(guess[f - 1, w], guess[f, w])
                    r = min(down / up, 1.0)
                    h = _square(max(r, CRITICAL)) if r > CRITICAL else CHOKED * CHOKED / (1.0 - r)
                    extra[f, w] = pull[f, w] * rt * abs(flows[f, w]) / (gate_area[k, w] ** 2 * up * h)
        for f in range(1, n):
            for w in range(lanes):
                flow = flows[f, w]
                size = abs(flow)
                mean = 2.0 * over[f - 1, w] * over[f, w] / (over[f - 1, w] + over[f, w])
                re = size * reynolds_per_flow[f, w]
                root = sqrt(re + 1.0)
                rough = fit[0, w] * re + fit[1, w] * root + fit[2, w] + fit[3, w] / root
                share = min(1.0, max(0.0, (re - LOW_RE) / (HIGH_RE - LOW_RE)))
                number = 64.0 + share * (rough - 64.0) if re < HIGH_RE else rough
                k_wall = wall[f, w] * number
                k_loss = loss[f, w] * size
                k_turb = (k_loss + k_wall) * mean
                k_side = branch[f, w] * (drawn[f - 1, w] + drawn[f, w]) * mean
                k = k_turb + extra[f, w]
                bottom = 1.0 / (1.0 + short * (2.0 * k + k_side))
                push = (pushed[f - 1, w] - pushed[f, w]) * pull[f, w] / area[f, w]
                a[f, w] = (late_q[f, w] + short * (k * flow + push)) * bottom
                b[f, w] = short * pull[f, w] * bottom
        for k in range(gate_face.size):
            f = gate_face[k]
            for w in range(lanes):
                if gate_area[k, w] == 0.0:
                    a[f, w] = 0.0
                    b[f, w] = 0.0
        for w in range(lanes):
            a[0, w] = 0.0
            a[n, w] = 0.0
        # Side devices as a conductance to a pressure; the diagonal and the right side.
        for i in range(n):
            for w in range(lanes):
                gain[i, w] = 0.0
                low[i, w] = cap[i, w] / short + b[i, w] + b[i + 1, w]
                high[i, w] = cap[i, w] / short * late_p[i, w] + a[i, w] - a[i + 1, w]
        for k in range(brake_cell.size):
            i = brake_cell[k]
            for w in range(lanes):
                here = guess[i, w]
                held = now * chamber[k, w] - before * chamber1[k, w]
                seen = chamber[k, w] + ratio * (chamber[k, w] - chamber1[k, w])
                g = 0.0
                if here > seen and brakes[1, k, w] > 0.0:
                    g = brakes[1, k, w] * here * _psi(seen / here) * over_root / max(here - seen, LEAST_DROP_PA)
                    g = g / (1.0 + g * short * rt / brakes[0, k, w])
                conduct[0, k, w] = g
                low[i, w] += g
                high[i, w] += g * held
                held = now * reservoir[k, w] - before * reservoir1[k, w]
                seen = reservoir[k, w] + ratio * (reservoir[k, w] - reservoir1[k, w])
                g = 0.0
                if brakes[4, k, w] > 0.0 and here > seen and brakes[3, k, w] > 0.0:
                    g = brakes[3, k, w] * here * _psi(seen / here) * over_root / max(here - seen, LEAST_DROP_PA)
                    g = g / (1.0 + g * short * rt / brakes[2, k, w])
                conduct[1, k, w] = g
                low[i, w] += g
                high[i, w] += g * held
                if here > ATMOSPHERE_PA:
                    low[i, w] += brakes[5, k, w] * _psi(ATMOSPHERE_PA / here) * over_root
        for k in range(valve_cell.size):
            i = valve_cell[k]
            for w in range(lanes):
                flow, slope = _valve(valves[k], w, guess[i, w], 1.0, over_root)
                valve_slope[k, w], valve_flow[k, w] = slope, flow - slope * guess[i, w]
                low[i, w] -= slope
                high[i, w] += valve_flow[k, w]
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
        # Two sweeps.
        for i in range(1, n):
            for w in range(lanes):
                m = b[i, w] / low[i - 1, w]
                low[i, w] -= m * b[i, w]
                high[i, w] += m * high[i - 1, w]
        error = 0.0
        for w in range(lanes):
            late_p[n - 1, w] = high[n - 1, w] / low[n - 1, w]
        for i in range(n - 2, -1, -1):
            for w in range(lanes):
                late_p[i, w] = (high[i, w] + b[i + 1, w] * late_p[i + 1, w]) / low[i, w]
        good = True
        for i in range(n):
            for w in range(lanes):
                new = late_p[i, w]
                error = max(error, abs(new - guess[i, w]))
                good = good and 1.0 < new < 1e8
        if (error > TOO_FAR * tolerance_pa or not good) and dt > first_s:  # nothing has been changed yet: again, shorter
            clock[1] = max(first_s, SHRINK * dt)
            continue
        if not good:
            return BROKEN, written
        for i in range(n):
            for w in range(lanes):
                p1[i, w] = p[i, w]
                p[i, w] = late_p[i, w]
        for f in range(1, n):
            for w in range(lanes):
                q1[f, w] = q[f, w]
                q[f, w] = a[f, w] + b[f, w] * (p[f - 1, w] - p[f, w])
        for i in range(n):
            for w in range(lanes):
                drawn[i, w] = 0.0
        for w in range(lanes):
            q1[0, w], q1[n, w] = q[0, w], q[n, w]
            q[0, w] = a[0, w] + first_slope[w] * p[0, w]
            q[n, w] = -(a[n, w] + last_slope[w] * p[n - 1, w])
            into = max(q[0, w], 0.0) + max(-q[n, w], 0.0)
            out = max(-q[0, w], 0.0) + max(q[n, w], 0.0)
            fed = now * tally[0, w] - before * tally1[0, w] + short * into
            gone = now * tally[1, w] - before * tally1[1, w] + short * out
            spent = now * tally[2, w] - before * tally1[2, w]
            for k in range(3):
                tally1[k, w] = tally[k, w]
            tally[0, w], tally[1, w], tally[2, w] = fed, gone, spent
        for k in range(valve_cell.size):
            i = valve_cell[k]
            for w in range(lanes):
                flow = valve_flow[k, w] + valve_slope[k, w] * p[i, w]
                tally[0, w] += short * max(flow, 0.0)
                tally[1, w] += short * max(-flow, 0.0)
                drawn[i, w] -= flow
        for k in range(brake_cell.size):
            i = brake_cell[k]
            for w in range(lanes):
                here = p[i, w]
                held = now * chamber[k, w] - before * chamber1[k, w]
                flow = conduct[0, k, w] * (here - held)
                drawn[i, w] += flow
                chamber1[k, w] = chamber[k, w]
                if brakes[0, k, w] > 0.0:
                    chamber[k, w] = held + flow * short * rt / brakes[0, k, w]
                leak = 0.0
                if guess[i, w] > ATMOSPHERE_PA:
                    leak = brakes[5, k, w] * _psi(ATMOSPHERE_PA / guess[i, w]) * over_root * here
                drawn[i, w] += leak
                tally[1, w] += short * leak
                if brakes[0, k, w] <= 0.0:
                    continue
                stored = reservoir[k, w]
                if brakes[4, k, w] > 0.0:
                    held = now * stored - before * reservoir1[k, w]
                    flow = conduct[1, k, w] * (here - held)
                    drawn[i, w] += flow
                    stored = held + flow * short * rt / brakes[2, k, w]
                    error = max(error, abs(stored - reservoir[k, w] - ratio * (reservoir[k, w] - reservoir1[k, w])))
                target = min(brakes[7, k, w] * (chamber[k, w] - here), brakes[8, k, w], stored - ATMOSPHERE_PA)
                target = max(target, 0.0)
                old = cylinder[k, w]
                slow = brakes[9, k, w] if target > old else brakes[10, k, w]
                cylinder[k, w] = target + (old - target) * exp(-dt / slow)
                reservoir1[k, w] = reservoir[k, w]
                rise = (cylinder[k, w] - old) / alpha
                if brakes[4, k, w] > 0.0 and rise > 0.0:
                    stored -= rise * brakes[6, k, w] / brakes[2, k, w]
                    tally[2, w] += rise * brakes[6, k, w] / rt
                reservoir[k, w] = stored
        clock[0] = until_s if last else clock[0] + dt
        clock[2] = dt
        clock[3] += 1.0
        wish = min(GROWTH, max(SHRINK, sqrt(tolerance_pa / max(error, 1e-3))))
        clock[1] = min(LONGEST_STEP_S, max(first_s, dt * wish))
        if times.size > 0:
            times[written] = clock[0]
            for k in range(probes.shape[0]):
                kind, number = probes[k, 0], probes[k, 1]
                for w in range(lanes):
                    if kind == 0:
                        readings[written, k, w] = p[number, w]
                    elif kind == 1:
                        readings[written, k, w] = chamber[number, w]
                    elif kind == 2:
                        readings[written, k, w] = reservoir[number, w]
                    else:
                        readings[written, k, w] = cylinder[number, w] + ATMOSPHERE_PA
            written += 1
            if written == times.size and clock[0] < until_s:
                return ROWS_FULL, written
    return ENDED, written
