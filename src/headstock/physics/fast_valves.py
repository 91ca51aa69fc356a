"""Compiled valves of the fast solver: what they pass as a straight line about a pressure, looked at again where it bends.

A port is a valve of a lane: number 0 at the front end, 1 at the rear end, the others on branches inside. Rows of a valve as in
``fine_faces``, each with its lanes. Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from headstock.physics._compile import kernel, within
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_nozzle import CHOKED, fed, let_out

FEEDS, LETS_OUT = 1, 2
NEWTON_ROUNDS, QUICK_ROUNDS, CLOSE_KG_S, NEAR_KG_S = 30, 2, 1e-6, 2e-5


@within
def _face(cell_pa: float, half: float, flow: float) -> float:
    """Pressure at an end half a cell of friction on."""
    square_pa = cell_pa * cell_pa + half * flow * abs(flow)
    return sqrt(square_pa if square_pa > 1.0 else 1.0)


@within
def _rise(flow: float, face: float, area: float, rt: float) -> float:
    """Stagnation over static pressure of what flows out of an end: exp of half the square of the speed over RT."""
    x = 0.5 * flow * flow * rt / (area * area * face * face)
    x = x if x < 0.5 else 0.5
    x = x if flow < 0.0 else 0.0
    return 1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x * (1.0 / 24.0 + x * (1.0 / 120.0)))))


@kernel
def _newton(
    valve: Floats, live: int, w: int, cell_pa: float, half: float, area: float, rt: float, over_root: float, flow: float
) -> tuple[float, float]:
    """How far Newton moves an end's inflow that runs through half a cell of friction, and its slope over the cell's pressure."""
    face = _face(cell_pa, half, flow)
    into, lean, out, less = 0.0, 0.0, 0.0, 0.0
    if live != LETS_OUT:
        into, lean, _ = fed(valve[0, w], valve[1, w], valve[2, w], valve[5, w], face, over_root)
    if live != FEEDS:
        out, less = let_out(valve[3, w], valve[4, w], valve[5, w], face, _rise(flow, face, area, rt), over_root)
    steep = lean - less
    one = 1.0 / (1.0 - steep * half * abs(flow) / face)
    return (into - out - flow) * one, steep * cell_pa / face * one


@kernel
def _newton_round(
    valve: Floats, live: int, cell_pa: Floats, half: Floats, area: Floats, rt: float, over_root: float, flow: Floats,
    lean: Floats, moved: Floats,
) -> None:  # fmt: skip
    """One Newton round of an end valve's flow in every lane; ``live``: what any lane of it does (FEEDS, LETS_OUT)."""
    supply, feed, feed_to, outlet, out_to, droop = valve[0], valve[1], valve[2], valve[3], valve[4], valve[5]
    if live == FEEDS:
        for w in range(flow.size):
            face = _face(cell_pa[w], half[w], flow[w])
            into, steep, _ = fed(supply[w], feed[w], feed_to[w], droop[w], face, over_root)
            one = 1.0 / (1.0 - steep * half[w] * abs(flow[w]) / face)
            change = (into - flow[w]) * one
            lean[w], moved[w], flow[w] = steep * cell_pa[w] / face * one, change, flow[w] + change
    elif live == LETS_OUT:
        for w in range(flow.size):
            face = _face(cell_pa[w], half[w], flow[w])
            out, steep = let_out(outlet[w], out_to[w], droop[w], face, _rise(flow[w], face, area[w], rt), over_root)
            one = 1.0 / (1.0 + steep * half[w] * abs(flow[w]) / face)
            change = (-out - flow[w]) * one
            lean[w], moved[w], flow[w] = -steep * cell_pa[w] / face * one, change, flow[w] + change
    else:
        for w in range(flow.size):
            change, slope = _newton(valve, live, w, cell_pa[w], half[w], area[w], rt, over_root, flow[w])
            lean[w], moved[w], flow[w] = slope, change, flow[w] + change


@kernel
def _end_flow(
    valve: Floats, live: int, w: int, cell_pa: float, half: float, start: float, area: float, rt: float, over_root: float,
    enough: float,
) -> tuple[float, float]:  # fmt: skip
    """Inflow at an end through half a cell of friction [kg/s], and its slope over the cell's pressure.

    Nothing at all and a choked valve enclose the flow that valve and half cell agree on; Newton inside, halving where it leaves.
    """
    if valve[1, w] <= 0.0 and valve[3, w] <= 0.0:
        return 0.0, 0.0
    high = valve[1, w] * valve[0, w] * CHOKED * over_root if cell_pa < min(valve[0, w], valve[2, w]) else 0.0
    low = -valve[3, w] * 1.7 * cell_pa * CHOKED * over_root if cell_pa > max(valve[4, w], 0.0) else 0.0
    if high == low:
        return 0.0, 0.0
    flow = min(max(start, low), high)
    lean = 0.0
    for _ in range(NEWTON_ROUNDS):
        change, lean = _newton(valve, live, w, cell_pa, half, area, rt, over_root, flow)
        if abs(change) < enough:
            flow += change
            break
        if change > 0.0:
            low = flow
        else:
            high = flow
        flow += change
        if not low < flow < high:
            flow = 0.5 * (low + high)
    return flow, lean


@kernel
def _branch_valve(valve: Floats, w: int, cell_pa: float, over_root: float) -> tuple[float, float]:
    """Net inflow of a valve on a branch [kg/s] at its cell's static pressure, and its slope."""
    into, lean, _ = fed(valve[0, w], valve[1, w], valve[2, w], valve[5, w], cell_pa, over_root)
    out, less = let_out(valve[3, w], valve[4, w], valve[5, w], cell_pa, 1.0, over_root)
    return into - out, lean - less


@kernel
def ports_live(front: Floats, rear: Floats, valves: Floats) -> Ints:
    """What any lane of each port does: nothing (0), FEEDS, LETS_OUT, or both."""
    live = np.zeros(valves.shape[0] + 2, dtype=np.int64)
    for v in range(live.size):
        valve = front if v == 0 else (rear if v == 1 else valves[v - 2])
        feeds, lets = False, False
        for w in range(valve.shape[1]):
            feeds = feeds or valve[1, w] > 0.0
            lets = lets or valve[3, w] > 0.0
        live[v] = (FEEDS if feeds else 0) + (LETS_OUT if lets else 0)
    return live


@kernel
def ports_at(guess: Floats, valve_cell: Ints, at: Floats) -> None:
    """Where valves are first looked at: the extrapolated pressures of the cells they are on (front, rear, then inside)."""
    n = guess.shape[0]
    for w in range(guess.shape[1]):
        at[0, w] = guess[0, w]
        at[1, w] = guess[n - 1, w]
        for v in range(valve_cell.size):
            at[v + 2, w] = guess[valve_cell[v], w]


@kernel
def _end_lines(
    valve: Floats, live: int, at: Floats, half: Floats, area: Floats, rt: float, over_root: float, slope: Floats, flow: Floats,
    moved: Floats,
) -> None:  # fmt: skip
    """An end valve of every lane as a straight line; ``flow`` comes in as a first guess. Where Newton strays, lane by lane."""
    for _ in range(QUICK_ROUNDS):
        _newton_round(valve, live, at, half, area, rt, over_root, flow, slope, moved)
        worst = 0.0
        for w in range(at.size):
            worst = abs(moved[w]) if abs(moved[w]) > worst else worst
        if worst < NEAR_KG_S:
            break
    for w in range(at.size):
        into, lean = flow[w], slope[w]
        if not abs(moved[w]) < NEAR_KG_S:
            into, lean = _end_flow(valve, live, w, at[w], half[w], into, area[w], rt, over_root, CLOSE_KG_S)
        slope[w], flow[w] = lean, into - lean * at[w]


@kernel
def _inner_lines(valves: Floats, live: Ints, at: Floats, over_root: float, slope: Floats, flow: Floats) -> None:
    """Valves on branches as straight lines."""
    for v in range(valves.shape[0]):
        if live[v + 2] == 0:
            continue
        for w in range(at.shape[1]):
            into, lean = _branch_valve(valves[v], w, at[v + 2, w], over_root)
            slope[v + 2, w], flow[v + 2, w] = lean, into - lean * at[v + 2, w]


@kernel
def port_lines(
    front: Floats, rear: Floats, valves: Floats, live: Ints, at: Floats, half: Floats, flows: Floats, area: Floats, turn: int,
    rt: float, over_root: float, slope: Floats, flow: Floats, moved: Floats,
) -> None:  # fmt: skip
    """Each valve as a straight line about a pressure: inflow = flow + slope x pressure."""
    n = flows.shape[0] - 1
    for w in range(at.shape[1]):
        flow[0, w] = flows[0, w] if turn == 0 else flow[0, w] + slope[0, w] * at[0, w]
        flow[1, w] = -flows[n, w] if turn == 0 else flow[1, w] + slope[1, w] * at[1, w]
    if at.shape[1] == 1:
        for end in range(2):
            valve, face = (front, 0) if end == 0 else (rear, n)
            into, lean = 0.0, 0.0
            if live[end] > 0:
                into, lean = _end_flow(valve, live[end], 0, at[end, 0], half[end, 0], flow[end, 0], area[face, 0], rt, over_root,
                                       NEAR_KG_S)  # fmt: skip
            slope[end, 0], flow[end, 0] = lean, into - lean * at[end, 0]
        _inner_lines(valves, live, at, over_root, slope, flow)
        return
    if live[0] > 0:
        _end_lines(front, live[0], at[0], half[0], area[0], rt, over_root, slope[0], flow[0], moved)
    if live[1] > 0:
        _end_lines(rear, live[1], at[1], half[1], area[n], rt, over_root, slope[1], flow[1], moved)
    for end in range(2):
        if live[end] == 0:
            for w in range(at.shape[1]):
                slope[end, w], flow[end, w] = 0.0, 0.0
    _inner_lines(valves, live, at, over_root, slope, flow)


@kernel
def add_ports(valve_cell: Ints, live: Ints, sign: float, slope: Floats, flow: Floats, low: Floats, high: Floats) -> None:
    """Puts the valves' lines into the diagonal and the right side of their cells; with ``sign`` -1, takes them out again."""
    n, lanes = low.shape
    for v in range(slope.shape[0]):
        if live[v] == 0:
            continue
        i = 0 if v == 0 else (n - 1 if v == 1 else valve_cell[v - 2])
        for w in range(lanes):
            low[i, w] -= sign * slope[v, w]
            high[i, w] += sign * flow[v, w]


@kernel
def _strays(cap: Floats, short: float, slope: Floats, moved: Floats) -> float:
    """By how much a valve that passes ``moved`` more than its line says would move its cell at most [Pa]."""
    worst = 0.0
    for w in range(cap.size):
        worst = max(worst, abs(moved[w]) / (cap[w] / short + abs(slope[w])))
    return worst


@kernel
def ports_missed(
    front: Floats, rear: Floats, valves: Floats, live: Ints, valve_cell: Ints, new: Floats, half: Floats, area: Floats,
    rt: float, over_root: float, slope: Floats, flow: Floats, cap: Floats, short: float, at: Floats, enough_pa: float,
    said: Floats, moved: Floats,
) -> bool:  # fmt: skip
    """Whether a valve passes something else at the new pressure than its line says, by more than moves its cell so far.

    Then ``at`` holds the new pressures: a valve that opens or shuts within a step is looked at again, or it would flutter.
    """
    n, lanes = new.shape
    worst = 0.0
    for end in range(2):
        if live[end] == 0:
            continue
        i = 0 if end == 0 else n - 1
        face = 0 if end == 0 else n
        valve = front if end == 0 else rear
        if lanes == 1:
            told = flow[end, 0] + slope[end, 0] * new[i, 0]
            change, _ = _newton(valve, live[end], 0, new[i, 0], half[end, 0], area[face, 0], rt, over_root, told)
            worst = max(worst, abs(change) / (cap[i, 0] / short + abs(slope[end, 0])))
            continue
        for w in range(lanes):
            said[0, w] = flow[end, w] + slope[end, w] * new[i, w]
        _newton_round(valve, live[end], new[i], half[end], area[face], rt, over_root, said[0], said[1], moved)
        worst = max(worst, _strays(cap[i], short, slope[end], moved))
    for v in range(valve_cell.size):
        if live[v + 2] == 0:
            continue
        i = valve_cell[v]
        for w in range(lanes):
            into, _ = _branch_valve(valves[v], w, new[i, w], over_root)
            moved[w] = into - flow[v + 2, w] - slope[v + 2, w] * new[i, w]
        worst = max(worst, _strays(cap[i], short, slope[v + 2], moved))
    again = not worst <= enough_pa
    if again:
        ports_at(new, valve_cell, at)
    return again


@kernel
def through_ports(
    valve_cell: Ints, live: Ints, slope: Floats, flow: Floats, p: Floats, q: Floats, drawn: Floats, tally: Floats, short: float
) -> None:
    """What valves let in and out at the new pressures, into the flows at the ends, the branches and the tally."""
    n, lanes = p.shape
    for v in range(slope.shape[0]):
        if live[v] == 0 and v > 1:
            continue
        i = 0 if v == 0 else (n - 1 if v == 1 else valve_cell[v - 2])
        for w in range(lanes):
            into = flow[v, w] + slope[v, w] * p[i, w]
            tally[0, w] += short * max(into, 0.0)
            tally[1, w] += short * max(-into, 0.0)
            if v == 0:
                q[0, w] = into
            elif v == 1:
                q[n, w] = -into
            else:
                drawn[i, w] -= into
