"""Compiled: one train braked along its own pressure traces, step by step, each step ending at whatever bends or jumps.

Laws of speed come as bands: `edges` from standstill up, per band and vehicle (p, r, q) of (p + r v) / (1 + q v). The step is
Runge and Kutta's of fourth order; it never straddles a sample of the traces, an edge of a band, or a section of the track.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
"""

from __future__ import annotations

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints

STOPPED, NEVER, BEYOND = 0, 1, 2
"""How a run ended: at its end speed; not within its time; faster than its laws are made for."""
LATE = 4.0
"""Once the traces are over, steps so many times as long."""
TRIES = 60

Laws = tuple[Floats, Floats, Floats, Floats, Floats, Floats, Floats]
"""Friction, adhesion, electric share by band; the train's columns; where sections begin, their sines; factors of this run.

The train's columns: mass and mass with turning parts [kg], length [m], resistance a, b, c, weight braked of each vehicle [N];
factors: friction, adhesion, slope added.
"""


@kernel
def slope_mean(at_m: Floats, sine: Floats, front_m: float, length_m: float) -> float:
    """Mean sine of the slope [-] under a train whose front is at `front_m`, sections beginning at `at_m`."""
    total, last = 0.0, sine.size - 1
    for number in range(sine.size):
        low = front_m - length_m
        high = front_m
        if number > 0:
            low = max(low, at_m[number])
        if number < last:
            high = min(high, at_m[number + 1])
        total += max(high - low, 0.0) * sine[number]
    return total / length_m


@kernel
def until_bend_m(at_m: Floats, front_m: float, length_m: float) -> float:
    """How far it is until the front or the rear comes onto the next section of the profile [m]."""
    nearest = np.inf
    for number in range(1, at_m.size):
        for at in (at_m[number], at_m[number] + length_m):
            if at > front_m + 1e-9:
                nearest = min(nearest, at - front_m)
    return nearest


@kernel
def deceleration(v: float, s: float, band: int, push: Floats, electric: Floats, laws: Laws) -> float:
    """What slows the train [m/s2]; `push` and `electric` as they are now, per vehicle [N]."""
    mu, rail, share, train, at_m, sine, factors = laws
    limit = (rail[band, 0] + rail[band, 1] * v) / (1.0 + rail[band, 2] * v) * factors[1]
    force = train[3] + (train[4] + train[5] * v) * v
    for n in range(push.size):
        block = push[n] * (mu[band, n, 0] + mu[band, n, 1] * v) / (1.0 + mu[band, n, 2] * v) * factors[0]
        if electric[n] > 0.0:
            wired = electric[n] * (share[band, n, 0] + share[band, n, 1] * v) / (1.0 + share[band, n, 2] * v)
            block = wired if wired > block else block
        most = limit * train[6 + n]
        force += block if block < most else most
    mean = sine[0] if sine.size == 1 else slope_mean(at_m, sine, s, train[2])
    total: float = (force + train[0] * 9.80665 * (mean + factors[2])) / train[1]
    return total


@kernel
def loads(traces: Floats, on: Floats, t: float, h: float, dt: float, now: Floats) -> None:
    """Fill `now` (3, vehicles) with the traces at t, t + h / 2 and t + h, all within one sample or after the last.

    Traces without a sample: none, and `now` stays as it is.
    """
    if traces.shape[0] == 0:
        return
    sample, last = int(t / dt + 1e-7), traces.shape[0] - 1
    begun = t / dt - sample
    for n in range(now.shape[1]):
        if sample >= last:
            now[0, n] = now[1, n] = now[2, n] = on[n] * traces[last, n]
        else:
            rise = on[n] * (traces[sample + 1, n] - traces[sample, n])
            now[0, n] = on[n] * traces[sample, n] + begun * rise
            now[2, n] = now[0, n] + rise * h / dt
            now[1, n] = 0.5 * (now[0, n] + now[2, n])


@kernel
def step(v: float, s: float, h: float, band: int, push: Floats, electric: Floats, laws: Laws) -> tuple[float, float]:
    """Speed and place after h [s]."""
    a1 = deceleration(v, s, band, push[0], electric[0], laws)
    v2, s2 = v - 0.5 * h * a1, s + 0.5 * h * v
    a2 = deceleration(v2, s2, band, push[1], electric[1], laws)
    v3, s3 = v - 0.5 * h * a2, s + 0.5 * h * v2
    a3 = deceleration(v3, s3, band, push[1], electric[1], laws)
    v4, s4 = v - h * a3, s + h * v3
    a4 = deceleration(v4, s4, band, push[2], electric[2], laws)
    return v - h / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4), s + h / 6.0 * (v + 2.0 * v2 + 2.0 * v3 + v4)


@kernel
def longest_step(t: float, s: float, v: float, dt: float, samples: int, laws: Laws) -> float:
    """To the next sample, or four samples' time once they are over; no further than the next section of the track [s]."""
    sample = int(t / dt + 1e-7)
    whole = LATE * dt if sample >= samples - 1 else (sample + 1) * dt - t
    if laws[4].size > 1:
        whole = min(whole, max(until_bend_m(laws[4], s, laws[3][2]) / v, 0.01 * dt))
    return whole


@kernel
def step_to(
    t: float, s: float, v: float, band: int, floor: float, roof: float, pushes: Floats, electrics: Floats, on: Floats, dt: float,
    push: Floats, electric: Floats, laws: Laws,
) -> tuple[float, float, float]:  # fmt: skip
    """One step, shortened so that it ends at an edge where it would pass one: length [s], speed, place."""
    whole = longest_step(t, s, v, dt, pushes.shape[0], laws)
    loads(pushes, on, t, whole, dt, push)
    loads(electrics, on, t, whole, dt, electric)
    new_v, new_s = step(v, s, whole, band, push, electric, laws)
    if floor <= new_v <= roof or not np.isfinite(new_v):
        return whole, new_v, new_s
    aim = floor if new_v < floor else roof
    low, high, h = 0.0, whole, whole
    for _ in range(TRIES):
        guess = h * (v - aim) / (v - new_v) if new_v != v else 0.0
        if (new_v - aim) * (v - aim) > 0.0:
            low = h
        else:
            high = h
        h = guess if low < guess < high else 0.5 * (low + high)
        loads(pushes, on, t, h, dt, push)
        loads(electrics, on, t, h, dt, electric)
        new_v, new_s = step(v, s, h, band, push, electric, laws)
        if abs(new_v - aim) < 1e-11 or high - low < 1e-12:
            break
    return h, aim, new_s


@kernel
def run_down(
    v0: float, v_end: float, edges: Floats, pushes: Floats, electrics: Floats, on: Floats, dt: float, until_s: float, laws: Laws,
    path: Floats,
) -> tuple[float, float, int, int]:  # fmt: skip
    """Distance [m], time [s], how it ended, rows written to `path` (t, s, v), which may have none."""
    push, electric = np.zeros((3, on.size)), np.zeros((3, on.size))
    t, s, v, rows, last = 0.0, 0.0, v0, 0, edges.size - 2
    band = 0
    while band < last and edges[band + 1] < v:
        band += 1
    while True:
        if rows < path.shape[0]:
            path[rows, 0], path[rows, 1], path[rows, 2] = t, s, v
            rows += 1
        if v <= v_end:
            return s, t, STOPPED, rows
        if t >= until_s:
            return s, t, NEVER, rows
        floor, roof = max(edges[band], v_end), edges[band + 1]
        h, v, s = step_to(t, s, v, band, floor, roof, pushes, electrics, on, dt, push, electric, laws)
        t += h
        if not np.isfinite(v) or (v == roof and band == last and deceleration(v, s, band, push[2], electric[2], laws) < 0.0):
            return s, t, BEYOND, rows
        if v == roof and band < last:
            band += 1
        elif v == floor and band > 0:
            band -= 1


@kernel
def run_down_many(
    v0: Floats, v_end: float, edges: Floats, pushes: Floats, electrics: Floats, which: Ints, on: Floats, dt: float,
    until_s: float, laws: Laws, factors: Floats,
) -> tuple[Floats, Floats, Ints]:  # fmt: skip
    """Many runs one after the other: `pushes` (traces, samples, vehicles), `factors` (runs, 3), `on` (runs, vehicles)."""
    runs = v0.size
    distance, time, ended = np.empty(runs), np.empty(runs), np.empty(runs, dtype=np.int64)
    path = np.empty((0, 3))
    mu, rail, share, train, at_m, sine, _ = laws
    for n in range(runs):
        one = (mu, rail, share, train, at_m, sine, factors[n])
        distance[n], time[n], ended[n], _ = run_down(
            v0[n], v_end, edges, pushes[which[n]], electrics[which[n]], on[n], dt, until_s, one, path
        )
    return distance, time, ended
