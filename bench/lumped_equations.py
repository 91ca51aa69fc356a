"""The fast solver's lumped equations as one compiled right-hand side, for general integrators to be measured against it.

State, cell by cell: pressure [Pa], then chamber, reservoir [Pa] and cylinder [Pa, gauge] of a brake there, then the flow at the
cell's rear face [kg/s]. Flows at the two ends follow from the end valves, as in the fast solver. One lane.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numba
import numpy as np

from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_nozzle import psi_and_slope
from headstock.physics.fast_settings import Stands, ports_of, told_of
from headstock.physics.fast_state import FastState
from headstock.physics.fast_valves import end_flow
from headstock.physics.friction import LAMINAR_UP_TO, TURBULENT_FROM
from headstock.physics.pipe_network import ATMOSPHERE_PA, Change

compiled = numba.njit(error_model="numpy", fastmath={"contract", "arcp", "nsz"})


@dataclass(frozen=True)
class Lumped:
    """Places in the state and the grid's arrays without their lane."""

    pressure: Ints
    flow: Ints
    brake: Ints
    arrays: tuple[Floats, ...]
    brake_cell: Ints
    rt: float
    size: int
    band: int


def lumped_of(grid: FastGrid) -> Lumped:
    """Order of the state so that its Jacobian is a narrow band."""
    cell_of = {int(cell): k for k, cell in enumerate(grid.brake_cell)}
    pressure, flow, brake, at = [], [], [0] * len(cell_of), 0
    for cell in range(grid.cells):
        pressure.append(at)
        at += 1
        if cell in cell_of:
            brake[cell_of[cell]] = at
            at += 3
        if cell < grid.cells - 1:
            flow.append(at)
            at += 1
    rows = (grid.cap, grid.pull, grid.slim, grid.area, grid.reynolds_per_flow, grid.wall, grid.loss, grid.momentum, grid.branch)
    arrays = tuple(np.ascontiguousarray(row[:, 0]) for row in rows)
    fit, half, brakes = (np.ascontiguousarray(grid.fit[:, :, 0]), np.ascontiguousarray(grid.half[:, 0]),
                         np.ascontiguousarray(grid.brakes[:, :, 0]))  # fmt: skip
    return Lumped(
        np.array(pressure), np.array(flow), np.array(brake), (*arrays, fit, half, brakes), grid.brake_cell, grid.rt, at, 9
    )


def first_state(lumped: Lumped, state: FastState) -> Floats:
    """The state at rest."""
    y = np.zeros(lumped.size)
    pipe, flow, chamber, reservoir, _ = state.now
    y[lumped.pressure], y[lumped.flow] = pipe[:, 0], flow[1:-1, 0]
    y[lumped.brake], y[lumped.brake + 1], y[lumped.brake + 2] = chamber[:, 0], reservoir[:, 0], state.cylinder[:, 0]
    return y


def valve_rows(grid: FastGrid, state: FastState, changes: list[Change], now_s: float) -> tuple[Floats, Floats]:
    """Rows of both end valves as they stand from a time on."""
    stands = Stands.of(state.gates, state.valves, state.vessels, state.distributors)
    for change in changes:
        if change.t_s <= now_s:
            stands.bring(0, change)
    valves = np.array(told_of(grid, ports_of(grid), stands, 0, ()).valves)
    return valves[:1].copy(), valves[1:2].copy()


def readings_of(lumped: Lumped, states: Floats, front: Floats, rear: Floats) -> Floats:
    """Front, rear, pipe and cylinder of every vehicle [Pa, absolute] (states, readings); the ends at their faces."""
    ends = np.empty((states.shape[0], 2))
    if states.shape[0]:
        _ends_of(states, lumped.pressure, lumped.flow, lumped.arrays[3], lumped.arrays[-2], front, rear, lumped.rt, ends)
    pipes = states[:, lumped.pressure[lumped.brake_cell]]
    return np.concatenate([ends, pipes, states[:, lumped.brake + 2] + ATMOSPHERE_PA], axis=1)


@compiled
def _ends_of(
    states: Floats, pressure: Ints, flow: Ints, area: Floats, half: Floats, front: Floats, rear: Floats, rt: float, ends: Floats
) -> None:
    """Pressure at both faces, half a cell of friction on [Pa]."""
    over_root, n = 1.0 / sqrt(rt), pressure.size
    for row in range(states.shape[0]):
        first, last = states[row, pressure[0]], states[row, pressure[n - 1]]
        q, _ = end_flow(front, 0, 3, first, half[0], states[row, flow[0]], area[0], rt, over_root, 1e-6)
        into, _ = end_flow(rear, 0, 3, last, half[1], -states[row, flow[n - 2]], area[n], rt, over_root, 1e-6)
        ends[row, 0] = sqrt(max(first * first + half[0] * q * abs(q), 1.0))
        ends[row, 1] = sqrt(max(last * last + half[1] * into * abs(into), 1.0))


@compiled
def _choked_by(choke: float, here: float, held: float, over_root: float) -> float:
    """Flow through a choke with a check valve."""
    if here <= held:
        return 0.0
    psi, _ = psi_and_slope(held / here)
    return choke * here * psi * over_root


@compiled
def right_hand_side(
    y: Floats, out: Floats, pressure: Ints, flow: Ints, brake: Ints, brake_cell: Ints, cap: Floats, pull: Floats, slim: Floats,
    area: Floats, reynolds: Floats, wall: Floats, loss: Floats, momentum: Floats, branch: Floats, fit: Floats, half: Floats,
    brakes: Floats, front: Floats, rear: Floats, rt: float, q: Floats, drawn: Floats, push: Floats,
) -> None:  # fmt: skip
    """d(state)/dt; ``q``, ``drawn`` and ``push`` are room to work in."""
    n = pressure.size
    over_root = 1.0 / sqrt(rt)
    for i in range(n):
        drawn[i] = 0.0
    for f in range(n - 1):
        q[f + 1] = y[flow[f]]
    q[0], _ = end_flow(front, 0, 3, y[pressure[0]], half[0], q[1], area[0], rt, over_root, 1e-6)
    into, _ = end_flow(rear, 0, 3, y[pressure[n - 1]], half[1], -q[n - 1], area[n], rt, over_root, 1e-6)
    q[n] = -into
    for k in range(brake.size):
        p, s = y[pressure[brake_cell[k]]], brake[k]
        fill = _choked_by(brakes[1, k], p, y[s], over_root)
        store = _choked_by(brakes[3, k], p, y[s + 1], over_root)
        psi, _ = psi_and_slope(ATMOSPHERE_PA / p)
        drawn[brake_cell[k]] = fill + store + brakes[5, k] * p * psi * over_root
        target = max(0.0, min(brakes[7, k] * (y[s] - p), brakes[8, k], y[s + 1] - ATMOSPHERE_PA))
        rate = (brakes[9, k] if target > y[s + 2] else brakes[10, k]) * (target - y[s + 2])
        out[s] = fill * rt * brakes[11, k]
        out[s + 1] = store * rt * brakes[12, k] - max(rate, 0.0) * brakes[6, k] * brakes[12, k]
        out[s + 2] = rate
    for i in range(n):
        out[pressure[i]] = (q[i] - q[i + 1] - drawn[i]) / cap[i]
        mean = 0.5 * (q[i] + q[i + 1])
        push[i] = mean * mean * momentum[i] / y[pressure[i]]
    for f in range(1, n):
        here, p_l, p_r = q[f], y[pressure[f - 1]], y[pressure[f]]
        re = abs(here) * reynolds[f]
        root = sqrt(re + 1.0)
        rough = fit[0, f] * re + fit[1, f] * root + fit[2, f] + fit[3, f] / root
        share = min(1.0, max(0.0, (re - LAMINAR_UP_TO) / (TURBULENT_FROM - LAMINAR_UP_TO)))
        number = rough if re > TURBULENT_FROM else 64.0 + share * (rough - 64.0)
        over = 2.0 / (p_l + p_r)
        drag = (loss[f] * abs(here) + wall[f] * number) * over + branch[f] * (drawn[f - 1] + drawn[f]) * over
        out[flow[f - 1]] = pull[f] * (p_l - p_r) + (push[f - 1] - push[f]) * slim[f] - drag * here
