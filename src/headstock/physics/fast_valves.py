"""Compiled valves of the fast solver: what they pass as a straight line about a pressure, looked at again where it bends.

A port is a valve of a lane: number 0 at the front end, 1 at the rear end, the others on branches inside. Rows of a valve as in
``fine_faces``, each with its lanes. Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from headstock.physics import orifice
from headstock.physics._compile import kernel
from headstock.physics.fine_cells import Ints
from headstock.physics.fine_faces import Floats
from headstock.physics.pipe_network import ATMOSPHERE_PA

CHOKED = orifice.CHOKED_COEFFICIENT
CRITICAL = orifice.CRITICAL_RATIO
LINEAR_FROM = orifice.LINEAR_FROM
NEWTON_ROUNDS, CLOSE_KG_S = 30, 1e-6


def fitted_flow_function() -> tuple[float, ...]:
    """Coefficients of a quartic h with psi^2 = (1 - r) h(r) between the critical ratio and 0.999, by least squares."""
    ratio = 0.5 * (CRITICAL + LINEAR_FROM) + 0.5 * (LINEAR_FROM - CRITICAL) * np.cos(np.linspace(0.0, np.pi, 400))
    psi = np.array([orifice.flow_function(float(r)) for r in ratio])
    return tuple(float(c) for c in np.polyfit(ratio, psi**2 / (1.0 - ratio), 4))


H4, H3, H2, H1, H0 = fitted_flow_function()
PSI_AT_LINEAR = float(np.sqrt((1.0 - LINEAR_FROM) * np.polyval((H4, H3, H2, H1, H0), LINEAR_FROM)))


@kernel
def square(ratio: float) -> float:
    """h(r) with psi^2 = (1 - r) h(r)."""
    return (((H4 * ratio + H3) * ratio + H2) * ratio + H1) * ratio + H0


@kernel
def _psi(ratio: float) -> float:
    r = min(max(ratio, CRITICAL), LINEAR_FROM)
    psi = sqrt((1.0 - r) * square(r))
    return psi if ratio <= LINEAR_FROM else PSI_AT_LINEAR * max(1.0 - ratio, 0.0) / (1.0 - LINEAR_FROM)


@kernel
def _psi_and_slope(ratio: float) -> tuple[float, float]:
    """psi, and d psi / d r: nothing below the critical ratio, a straight line above 0.999."""
    if ratio <= CRITICAL:
        return CHOKED, 0.0
    if ratio > LINEAR_FROM:
        return PSI_AT_LINEAR * max(1.0 - ratio, 0.0) / (1.0 - LINEAR_FROM), -PSI_AT_LINEAR / (1.0 - LINEAR_FROM)
    h = square(ratio)
    bend = ((4.0 * H4 * ratio + 3.0 * H3) * ratio + 2.0 * H2) * ratio + H1
    psi = sqrt((1.0 - ratio) * h)
    return psi, 0.5 * ((1.0 - ratio) * bend - h) / psi


@kernel
def _valve(valve: Floats, w: int, face_pa: float, rise: float, over_root: float) -> tuple[float, float]:
    """Net inflow of a valve [kg/s] at a face pressure, and its slope; ``rise`` = stagnation over static pressure."""
    flow, slope = 0.0, 0.0
    if valve[1, w] > 0.0 and face_pa < valve[0, w]:
        share = min(1.0, max(0.0, (valve[2, w] - face_pa) / valve[5, w]))
        if share > 0.0:
            bend = -1.0 / valve[5, w] if share < 1.0 else 0.0
            psi, lean = _psi_and_slope(face_pa / valve[0, w])
            flow += valve[1, w] * share * valve[0, w] * psi * over_root
            slope += valve[1, w] * over_root * (share * lean + bend * valve[0, w] * psi)
    if valve[3, w] > 0.0 and face_pa * rise > ATMOSPHERE_PA:
        share = min(1.0, max(0.0, (face_pa - valve[4, w]) / valve[5, w]))
        if share > 0.0:
            bend = 1.0 / valve[5, w] if share < 1.0 else 0.0
            ratio = ATMOSPHERE_PA / (face_pa * rise)
            psi, lean = _psi_and_slope(ratio)
            flow -= valve[3, w] * share * face_pa * rise * psi * over_root
            slope -= valve[3, w] * rise * over_root * (share * (psi - ratio * lean) + bend * face_pa * psi)
    return flow, slope


@kernel
def _through_end(
    valve: Floats, w: int, cell_pa: float, half: float, flow: float, area: float, rt: float, over_root: float
) -> tuple[float, float, float]:
    """What an end valve passes if ``flow`` runs through the half cell before it; its slope over that flow, and over the cell."""
    face = sqrt(max(cell_pa * cell_pa + half * flow * abs(flow), 1.0))
    rise = 1.0
    if flow < 0.0:
        speed = flow * rt / (area * face)
        x = min(0.5 * speed * speed / rt, 0.5)
        rise = 1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x * (1.0 / 24.0 + x * (1.0 / 120.0)))))
    passed, slope = _valve(valve, w, face, rise, over_root)
    return passed, slope * half * abs(flow) / face, slope * cell_pa / face


@kernel
def _end_flow(
    valve: Floats, w: int, cell_pa: float, half: float, start: float, area: float, rt: float, over_root: float
) -> tuple[float, float]:
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
        passed, bend, lean = _through_end(valve, w, cell_pa, half, flow, area, rt, over_root)
        miss = passed - flow
        lean = lean / (1.0 - bend)
        if abs(miss) < CLOSE_KG_S * (1.0 - bend):
            flow += miss / (1.0 - bend)
            break
        if miss > 0.0:
            low = flow
        else:
            high = flow
        flow += miss / (1.0 - bend)
        if not low < flow < high:
            flow = 0.5 * (low + high)
    return flow, lean


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
def port_lines(
    front: Floats, rear: Floats, valves: Floats, at: Floats, half: Floats, flows: Floats, area: Floats, turn: int, rt: float,
    over_root: float, slope: Floats, flow: Floats,
) -> None:  # fmt: skip
    """Each valve as a straight line about a pressure: inflow = flow + slope x pressure."""
    n = flows.shape[0] - 1
    for w in range(at.shape[1]):
        start = flows[0, w] if turn == 0 else flow[0, w] + slope[0, w] * at[0, w]
        into, lean = _end_flow(front, w, at[0, w], half[0, w], start, area[0, w], rt, over_root)
        slope[0, w], flow[0, w] = lean, into - lean * at[0, w]
        start = -flows[n, w] if turn == 0 else flow[1, w] + slope[1, w] * at[1, w]
        into, lean = _end_flow(rear, w, at[1, w], half[1, w], start, area[n, w], rt, over_root)
        slope[1, w], flow[1, w] = lean, into - lean * at[1, w]
        for v in range(valves.shape[0]):
            into, lean = _valve(valves[v], w, at[v + 2, w], 1.0, over_root)
            slope[v + 2, w], flow[v + 2, w] = lean, into - lean * at[v + 2, w]


@kernel
def add_ports(valve_cell: Ints, slope: Floats, flow: Floats, low: Floats, high: Floats) -> None:
    n, lanes = low.shape
    for v in range(slope.shape[0]):
        i = 0 if v == 0 else (n - 1 if v == 1 else valve_cell[v - 2])
        for w in range(lanes):
            low[i, w] -= slope[v, w]
            high[i, w] += flow[v, w]


@kernel
def ports_missed(
    front: Floats, rear: Floats, valves: Floats, valve_cell: Ints, new: Floats, half: Floats, area: Floats, rt: float,
    over_root: float, slope: Floats, flow: Floats, cap: Floats, short: float, at: Floats, enough_pa: float,
) -> bool:  # fmt: skip
    """Whether a valve passes something else at the new pressure than its line says, by more than moves its cell so far.

    Then ``at`` holds the new pressures: a valve that opens or shuts within a step is looked at again, or it would flutter.
    """
    n, lanes = new.shape
    again = False
    for v in range(slope.shape[0]):
        i = 0 if v == 0 else (n - 1 if v == 1 else valve_cell[v - 2])
        for w in range(lanes):
            p = new[i, w]
            said = flow[v, w] + slope[v, w] * p
            bend = 0.0
            if v == 0:
                into, bend, _ = _through_end(front, w, p, half[0, w], said, area[0, w], rt, over_root)
            elif v == 1:
                into, bend, _ = _through_end(rear, w, p, half[1, w], said, area[n, w], rt, over_root)
            else:
                into, _ = _valve(valves[v - 2], w, p, 1.0, over_root)
            off = abs(into - said) / (1.0 - bend) / (cap[i, w] / short + abs(slope[v, w]))
            again = again or off > enough_pa
    if again:
        ports_at(new, valve_cell, at)
    return again


@kernel
def through_ports(
    valve_cell: Ints, slope: Floats, flow: Floats, p: Floats, q: Floats, drawn: Floats, tally: Floats, short: float
) -> None:
    """What valves let in and out at the new pressures, into the flows at the ends, the branches and the tally."""
    n, lanes = p.shape
    for v in range(slope.shape[0]):
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
