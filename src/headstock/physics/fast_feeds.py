"""Compiled valves of the fast solver that are fed from the network itself, as a cab valve is from the main reservoir pipe.

What is fed from is worked out second. Before that, two sweeps say what pressure there would be without the valve and how much it
gives way for each kg/s; the valve is taken as a line that knows this. What it passes then is taken from there to the last bit.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import NONE, GearArrays
from headstock.physics.fast_layout import BEHIND, GIVES, HIGH, LEAD, OUT, UNIT
from headstock.physics.fast_nozzle import fed
from headstock.physics.fast_sweeps import sweep
from headstock.physics.fast_valves import FEEDS

ROUNDS, CLOSE_KG_S = 25, 1e-9


@bare
def supplies(pipe: Floats, gear: GearArrays, live: Ints, behind: Floats, gives: Floats) -> None:
    """Per fed valve: the pressure at its source without it [Pa], and by how much it gives way [Pa per kg/s]."""
    m, n = gear.split, gear.cells
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE or not live[v + 2] & FEEDS:
            continue
        for i in range(m, n):
            pipe[UNIT, LEAD + i] = 1.0 if i == gear.feed[v] else 0.0
        sweep(pipe, m, n, HIGH, BEHIND)
        sweep(pipe, m, n, UNIT, GIVES)
        behind[v], gives[v] = pipe[BEHIND, LEAD + gear.feed[v]], pipe[GIVES, LEAD + gear.feed[v]]


@bare
def fed_lines(gear: GearArrays, valves: Floats, behind: Floats, gives: Floats, over_root: float, lines: Floats) -> None:
    """Each fed valve as a line about a face pressure, its source giving way; ``valves`` keep the supply they then have."""
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        u = v + 2
        if valves[u, 1] <= 0.0:
            continue
        face, feed, feed_to, droop = lines[2, u], valves[u, 1], valves[u, 2], valves[u, 5]
        most, _, _ = fed(behind[v], feed, feed_to, droop, face, over_root)
        least, into, by_face, by_supply = 0.0, 0.5 * most, 0.0, 0.0
        for _ in range(ROUNDS):
            supply = behind[v] - gives[v] * into
            through, by_face, by_supply = fed(supply, feed, feed_to, droop, face, over_root)
            change = (through - into) / (1.0 + gives[v] * by_supply)
            if change > 0.0:
                least = into
            else:
                most = into
            into += change
            if not least <= into <= most:
                into = 0.5 * (least + most)
            if abs(change) < CLOSE_KG_S:
                break
        lean = by_face / (1.0 + gives[v] * by_supply)
        valves[u, 0] = behind[v] - gives[v] * into
        lines[0, u], lines[1, u] = lean, into - lean * face


@bare
def draw_feeds(gear: GearArrays, port_cell: Ints, sign: float, lines: Floats, new: Floats, high: Floats) -> None:
    """What fed valves pass at the new pressures of the cells worked out first, out of the cells they are fed from.

    With ``sign`` -1 it is put back.
    """
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        high[gear.feed[v]] -= sign * max(0.0, lines[1, v + 2] + lines[0, v + 2] * new[port_cell[v + 2]])


@bare
def take_feeds(gear: GearArrays, port_cell: Ints, lines: Floats, p: Floats, drawn: Floats, lane: Floats, short: float) -> None:
    """The same into branches and tally: what they pass has been counted as fed, and comes out again here."""
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        into = max(0.0, lines[1, v + 2] + lines[0, v + 2] * p[port_cell[v + 2]])
        drawn[gear.feed[v]] += into
        lane[OUT, 0] += short * into
