"""Compiled valves of the fast solver that are fed from the network itself, as a cab valve is from the main reservoir pipe.

What is fed from is worked out second. Before that, two sweeps say what pressure there would be without the valve and how much it
gives way for each kg/s; the valve is taken as a line that knows this. What it passes then is taken from there to the last bit.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import NONE, GearArrays
from headstock.physics.fast_nozzle import fed
from headstock.physics.fast_sweeps import sweeps

ROUNDS, CLOSE_KG_S = 25, 1e-9


@kernel
def supplies(
    gear: GearArrays, valves: Floats, low: Floats, high: Floats, b: Floats, behind: Floats, gives: Floats, room: Floats
) -> None:
    """Per fed valve and lane: the pressure at its source without it [Pa], and by how much it gives way [Pa per kg/s].

    ``room`` (5, cells worked out second, lanes) is overwritten.
    """
    m = gear.split
    for v in range(gear.feed.size):
        feeds = False
        for w in range(gives.shape[1]):
            feeds = feeds or valves[v, 1, w] > 0.0
        if gear.feed[v] == NONE or not feeds:
            continue
        j = gear.feed[v] - m
        for unit in range(2):
            for i in range(room.shape[1]):
                for w in range(gives.shape[1]):
                    room[0, i, w] = low[m + i, w]
                    room[1, i, w] = high[m + i, w] if unit == 0 else (1.0 if i == j else 0.0)
            sweeps(room[0], room[1], b[m:], room[2], room[3], room[4])
            for w in range(gives.shape[1]):
                if unit == 0:
                    behind[v, w] = room[4, j, w]
                else:
                    gives[v, w] = room[4, j, w]


@kernel
def fed_lines(
    gear: GearArrays, valves: Floats, at: Floats, behind: Floats, gives: Floats, over_root: float, slope: Floats, flow: Floats
) -> None:
    """Each fed valve as a line about a face pressure, its source giving way; ``valves`` keep the supply they then have."""
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        for w in range(gives.shape[1]):
            if valves[v, 1, w] <= 0.0:
                continue
            face, feed, feed_to, droop = at[v + 2, w], valves[v, 1, w], valves[v, 2, w], valves[v, 5, w]
            most, _, _ = fed(behind[v, w], feed, feed_to, droop, face, over_root)
            least, into, by_face, by_supply = 0.0, 0.5 * most, 0.0, 0.0
            for _ in range(ROUNDS):
                supply = behind[v, w] - gives[v, w] * into
                through, by_face, by_supply = fed(supply, feed, feed_to, droop, face, over_root)
                change = (through - into) / (1.0 + gives[v, w] * by_supply)
                if change > 0.0:
                    least = into
                else:
                    most = into
                into += change
                if not least <= into <= most:
                    into = 0.5 * (least + most)
                if abs(change) < CLOSE_KG_S:
                    break
            lean = by_face / (1.0 + gives[v, w] * by_supply)
            valves[v, 0, w] = behind[v, w] - gives[v, w] * into
            slope[v + 2, w], flow[v + 2, w] = lean, into - lean * face


@kernel
def draw_feeds(gear: GearArrays, valve_cell: Ints, sign: float, slope: Floats, flow: Floats, new: Floats, high: Floats) -> None:
    """What fed valves pass at the new pressures of the cells worked out first, out of the cells they are fed from.

    With ``sign`` -1 it is put back.
    """
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        for w in range(new.shape[1]):
            high[gear.feed[v], w] -= sign * max(0.0, flow[v + 2, w] + slope[v + 2, w] * new[valve_cell[v], w])


@kernel
def take_feeds(
    gear: GearArrays, valve_cell: Ints, slope: Floats, flow: Floats, p: Floats, drawn: Floats, tally: Floats, short: float
) -> None:
    """The same into branches and tally: what they pass has been counted as fed, and comes out again here."""
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE:
            continue
        for w in range(p.shape[1]):
            into = max(0.0, flow[v + 2, w] + slope[v + 2, w] * p[valve_cell[v], w])
            drawn[gear.feed[v], w] += into
            tally[1, w] += short * into
