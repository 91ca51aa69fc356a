"""Compiled valves at the ends of eight lanes at a time: what they pass as straight lines, looked at again where they bend.

Rows: ``fast_layout``; ``valves`` (2 x lane + end, 7) holds the same figures for a lane alone.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: closed form (isentropic nozzle).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_layout import (
    AREA_0,
    AT_0,
    CAP,
    FED,
    FLOW_0,
    HALF_0,
    HIGH,
    LEAD,
    LOOKS,
    LOW,
    NEW,
    OUT,
    OVER_ROOT,
    Q1,
    RT,
    SLOPE_0,
    VALVE_0,
    VALVE_1,
    P,
    Q,
)
from headstock.physics.fast_valves import FEEDS, LETS_OUT, NEAR_KG_S, end_flow, newton

QUICK_ROUNDS = 3
FIGURES = VALVE_1 - VALVE_0


@bare
def _newton_of(lane: Floats, end: int, cell_pa: Floats, flow: Floats, rt: float, over_root: float) -> tuple[Floats, Floats]:
    """One Newton round of an end valve in every lane: how far it moves the flow, and the slope."""
    at = VALVE_0 + FIGURES * end
    moved, lean = newton(
        load(lane, at, 0), load(lane, at + 1, 0), load(lane, at + 2, 0), load(lane, at + 3, 0), load(lane, at + 4, 0),
        load(lane, at + 5, 0), load(lane, at + 6, 0), cell_pa, load(lane, HALF_0 + end, 0), load(lane, AREA_0 + end, 0), rt,
        over_root, flow,
    )  # fmt: skip
    return moved, lean


@bare
def end_lines(lane: Floats, valves: Floats, end: int, start: Floats, rt: float, over_root: float) -> None:
    """An end valve as a straight line in every lane that LOOKS. Where Newton has not settled soon, lane by lane."""
    at = load(lane, AT_0 + end, 0)
    looks = load(lane, LOOKS, 0) > 0.0
    busy, flow, slope = looks, start, eight(0.0)
    for _ in range(QUICK_ROUNDS):
        change, lean = _newton_of(lane, end, at, flow, rt, over_root)
        flow, slope = select(busy, flow + change, flow), select(busy, lean, slope)
        busy = busy & (abs(change) >= NEAR_KG_S)
    was_slope, was_flow = load(lane, SLOPE_0 + end, 0), load(lane, FLOW_0 + end, 0)
    store(lane, SLOPE_0 + end, 0, select(busy, 1e300, select(looks, slope, was_slope)))
    store(lane, FLOW_0 + end, 0, select(busy, flow, select(looks, flow - slope * at, was_flow)))
    for w in range(WIDTH):
        if lane[SLOPE_0 + end, w] == 1e300:
            cell_pa, near = lane[AT_0 + end, w], lane[FLOW_0 + end, w]
            half, area = lane[HALF_0 + end, w], lane[AREA_0 + end, w]
            into, less = end_flow(
                valves, 2 * w + end, FEEDS + LETS_OUT, cell_pa, half, near, area, lane[RT, w], lane[OVER_ROOT, w], NEAR_KG_S
            )
            lane[SLOPE_0 + end, w], lane[FLOW_0 + end, w] = less, into - less * cell_pa


@bare
def add_ends(pipe: Floats, lane: Floats, cells: int, sign: float) -> None:
    """Puts the lines into the balances of the end cells, in lanes that LOOK; with ``sign`` -1, takes them out again.

    In the others they stay: out and in again, the last bit might move, and a lane would hang on its neighbours.
    """
    looks = load(lane, LOOKS, 0) > 0.0
    for end in range(2):
        j = LEAD + end * (cells - 1) * WIDTH
        store(pipe, LOW, j, load(pipe, LOW, j) - sign * select(looks, load(lane, SLOPE_0 + end, 0), 0.0))
        store(pipe, HIGH, j, load(pipe, HIGH, j) + sign * select(looks, load(lane, FLOW_0 + end, 0), 0.0))


@bare
def ends_missed(
    pipe: Floats, lane: Floats, cells: int, end: int, short: Floats, rt: float, over_root: float, enough_pa: float
) -> Floats:
    """In which lanes (1) a valve passes other than its line says at the new pressure, by more than moves its cell so far."""
    j = LEAD + end * (cells - 1) * WIDTH
    new, slope = load(pipe, NEW, j), load(lane, SLOPE_0 + end, 0)
    change, _ = _newton_of(lane, end, new, load(lane, FLOW_0 + end, 0) + slope * new, rt, over_root)
    missed: Floats = select(abs(change) <= enough_pa * (load(pipe, CAP, j) / short + abs(slope)), 0.0, 1.0)
    return missed


@bare
def through_ends(pipe: Floats, lane: Floats, cells: int, short: Floats, takes: Floats) -> None:
    """What valves let in and out at the new pressures, into the flows at the ends and the tally, where a step is taken."""
    taken = takes > 0.0
    for end in range(2):
        into = load(lane, FLOW_0 + end, 0) + load(lane, SLOPE_0 + end, 0) * load(pipe, P, LEAD + end * (cells - 1) * WIDTH)
        let_in, let_out = select(into > 0.0, into, 0.0), select(into < 0.0, -into, 0.0)
        store(lane, FED, 0, load(lane, FED, 0) + select(taken, short * let_in, 0.0))
        store(lane, OUT, 0, load(lane, OUT, 0) + select(taken, short * let_out, 0.0))
        j = LEAD - WIDTH + end * cells * WIDTH
        flow = load(pipe, Q, j)
        if end == 0:
            store(pipe, Q1, j, select(taken, flow, load(pipe, Q1, j)))
            store(pipe, Q, j, select(taken, into, flow))
        else:
            store(pipe, Q, j, select(taken, -into, flow))
