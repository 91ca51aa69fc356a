"""Compiled valves of the fast solver: what they pass as a straight line about a pressure, looked at again where it bends.

A port is a valve of the lane: number 0 at the front end, 1 at the rear end, the others on branches inside; ``valves`` (ports, 7)
has the figures of each as in ``fine_faces``.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from typing import Any

from headstock.physics._compile import bare, within
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import root, select
from headstock.physics.fast_layout import (
    AREA_0,
    CAP,
    DRAWN,
    FED,
    HALF_0,
    HIGH,
    LEAD,
    LOW,
    NEW,
    OUT,
    Q1,
    P,
    Q,
)
from headstock.physics.fast_nozzle import CHOKED, fed, let_out

FEEDS, LETS_OUT = 1, 2
NEWTON_ROUNDS, NEAR_KG_S = 30, 2e-5


@within
def _face(cell_pa: Any, half: Any, flow: Any) -> Any:
    """Pressure at an end half a cell of friction on."""
    square_pa = cell_pa * cell_pa + half * flow * abs(flow)
    return root(select(square_pa > 1.0, square_pa, 1.0))


@within
def _rise(flow: Any, over_face: Any, area: Any, rt: Any) -> Any:
    """Stagnation over static pressure of what flows out of an end: exp of half the square of the speed over RT."""
    speed = flow * over_face / area
    x = 0.5 * rt * speed * speed
    x = select(x < 0.5, x, 0.5)
    x = select(flow < 0.0, x, 0.0)
    return 1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x * (1.0 / 24.0 + x * (1.0 / 120.0)))))


@within
def newton(
    supply: Any,
    feed: Any,
    feed_to: Any,
    outlet: Any,
    out_to: Any,
    droop: Any,
    outside: Any,
    cell_pa: Any,
    half: Any,
    area: Any,
    rt: Any,
    over_root: Any,
    flow: Any,
) -> Any:
    """How far Newton moves an end's inflow that runs through half a cell of friction, and its slope over the cell's pressure."""
    face = _face(cell_pa, half, flow)
    over_face = 1.0 / face
    into, lean, _ = fed(supply, feed, feed_to, droop, face, over_root)
    out, less = let_out(outlet, out_to, droop, outside, face, _rise(flow, over_face, area, rt), over_root)
    steep = lean - less
    one = 1.0 / (1.0 - steep * half * abs(flow) * over_face)
    return (into - out - flow) * one, steep * cell_pa * over_face * one


@bare
def _newton(
    valves: Floats,
    v: int,
    live: int,
    cell_pa: float,
    half: float,
    area: float,
    rt: float,
    over_root: float,
    outside: float,
    flow: float,
) -> tuple[float, float]:
    """How far Newton moves an end's inflow that runs through half a cell of friction, and its slope over the cell's pressure."""
    face = _face(cell_pa, half, flow)
    over_face = 1.0 / face
    into, lean, out, less = 0.0, 0.0, 0.0, 0.0
    if live != LETS_OUT:
        into, lean, _ = fed(valves[v, 0], valves[v, 1], valves[v, 2], valves[v, 5], face, over_root)
    if live != FEEDS:
        rise = _rise(flow, over_face, area, rt)
        out, less = let_out(valves[v, 3], valves[v, 4], valves[v, 5], outside, face, rise, over_root)
    steep = lean - less
    one = 1.0 / (1.0 - steep * half * abs(flow) * over_face)
    return (into - out - flow) * one, steep * cell_pa * over_face * one


@bare
def end_flow(
    valves: Floats, v: int, live: int, cell_pa: float, half: float, start: float, area: float, rt: float, over_root: float,
    enough: float,
) -> tuple[float, float]:  # fmt: skip
    """Inflow at an end through half a cell of friction [kg/s], and its slope over the cell's pressure.

    Nothing at all and a choked valve enclose the flow that valve and half cell agree on; Newton inside, halving where it leaves.
    """
    feeds = valves[v, 1] > 0.0 and cell_pa < min(valves[v, 0], valves[v, 2])
    lets = valves[v, 3] > 0.0 and cell_pa > max(valves[v, 4], 0.0)
    high = valves[v, 1] * valves[v, 0] * CHOKED * over_root if feeds else 0.0
    low = -valves[v, 3] * 1.7 * cell_pa * CHOKED * over_root if lets else 0.0
    if high == low:
        return 0.0, 0.0
    flow = min(max(start, low), high)
    lean, outside = 0.0, valves[v, 6]
    for _ in range(NEWTON_ROUNDS):
        change, lean = _newton(valves, v, live, cell_pa, half, area, rt, over_root, outside, flow)
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


@bare
def _branch_valve(valves: Floats, v: int, cell_pa: float, over_root: float) -> tuple[float, float]:
    """Net inflow of a valve on a branch [kg/s] at its cell's static pressure, and its slope."""
    into, lean, _ = fed(valves[v, 0], valves[v, 1], valves[v, 2], valves[v, 5], cell_pa, over_root)
    out, less = let_out(valves[v, 3], valves[v, 4], valves[v, 5], valves[v, 6], cell_pa, 1.0, over_root)
    return into - out, lean - less


@bare
def ports_live(valves: Floats, live: Ints) -> None:
    """What each port does: nothing (0), FEEDS, LETS_OUT, or both."""
    for v in range(live.size):
        live[v] = (FEEDS if valves[v, 1] > 0.0 else 0) + (LETS_OUT if valves[v, 3] > 0.0 else 0)


@bare
def ports_at(pipe: Floats, row: int, port_cell: Ints, live: Ints, lines: Floats) -> None:
    """Where valves are looked at: the pressures of the cells they are on. ``lines`` (3, ports): slope, flow, pressure."""
    for v in range(live.size):
        if live[v] > 0:
            lines[2, v] = pipe[row, LEAD + port_cell[v]]


@bare
def port_lines(
    lane: Floats, valves: Floats, live: Ints, lines: Floats, starts: tuple[float, float], turn: int, rt: float, over_root: float
) -> None:
    """Each valve as a straight line about a pressure: inflow = flow + slope x pressure. ``starts``: first guess of the ends."""
    for v in range(live.size):
        into, lean, at = 0.0, 0.0, lines[2, v]
        if live[v] > 0 and v < 2:
            start = starts[v] if turn == 0 else lines[1, v] + lines[0, v] * at
            half, area = lane[HALF_0 + v, 0], lane[AREA_0 + v, 0]
            into, lean = end_flow(valves, v, live[v], at, half, start, area, rt, over_root, NEAR_KG_S)
        elif live[v] > 0:
            into, lean = _branch_valve(valves, v, at, over_root)
        lines[0, v], lines[1, v] = lean, into - lean * at


@bare
def add_ports(pipe: Floats, port_cell: Ints, live: Ints, sign: float, lines: Floats) -> None:
    """Puts the valves' lines into the diagonal and the right side of their cells; with ``sign`` -1, takes them out again."""
    for v in range(live.size):
        if live[v] > 0:
            pipe[LOW, LEAD + port_cell[v]] -= sign * lines[0, v]
            pipe[HIGH, LEAD + port_cell[v]] += sign * lines[1, v]


@bare
def ports_missed(
    pipe: Floats, lane: Floats, valves: Floats, port_cell: Ints, live: Ints, lines: Floats, short: float, rt: float,
    over_root: float, enough_pa: float,
) -> bool:  # fmt: skip
    """Whether a valve passes something else at the new pressure than its line says, by more than moves its cell so far.

    Then the lines hold the new pressures: a valve that opens or shuts within a step is looked at again, or it would flutter.
    """
    again = False
    for v in range(live.size):
        if live[v] == 0:
            continue
        j = LEAD + port_cell[v]
        new = pipe[NEW, j]
        told = lines[1, v] + lines[0, v] * new
        if v < 2:
            half, area, outside = lane[HALF_0 + v, 0], lane[AREA_0 + v, 0], valves[v, 6]
            change, _ = _newton(valves, v, live[v], new, half, area, rt, over_root, outside, told)
        else:
            into, _ = _branch_valve(valves, v, new, over_root)
            change = into - told
        again = again or not abs(change) <= enough_pa * (pipe[CAP, j] / short + abs(lines[0, v]))
    if again:
        ports_at(pipe, NEW, port_cell, live, lines)
    return again


@bare
def through_ports(pipe: Floats, lane: Floats, port_cell: Ints, live: Ints, lines: Floats, short: float) -> None:
    """What valves let in and out at the new pressures, into the flows at the ends, the branches and the tally."""
    n = port_cell[1] + 1
    pipe[Q1, LEAD - 1], pipe[Q, LEAD - 1], pipe[Q, LEAD + n - 1] = pipe[Q, LEAD - 1], 0.0, 0.0
    for v in range(live.size):
        if live[v] == 0:
            continue
        into = lines[1, v] + lines[0, v] * pipe[P, LEAD + port_cell[v]]
        lane[FED, 0] += short * max(into, 0.0)
        lane[OUT, 0] += short * max(-into, 0.0)
        if v == 0:
            pipe[Q, LEAD - 1] = into
        elif v == 1:
            pipe[Q, LEAD + n - 1] = -into
        else:
            pipe[DRAWN, LEAD + port_cell[v]] -= into
