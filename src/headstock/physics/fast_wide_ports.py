"""Compiled valves on branches of eight lanes at a time, fed valves among them, and the sweeps that they need.

A stretch of cells is eliminated once and then solved for as many right sides as are asked.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_feeds import CLOSE_KG_S, ROUNDS
from headstock.physics.fast_gear import NONE
from headstock.physics.fast_layout import (
    ASIDE,
    BEHIND,
    CAP,
    DRAWN,
    FED,
    GIVES,
    HIGH,
    LEAD,
    LOOKS,
    LOW,
    NEW,
    OUT,
    SHARE,
    SHORT,
    SUM,
    TAKES,
    UNIT,
    WEIGHT,
    B,
    P,
)
from headstock.physics.fast_nozzle import fed, let_out
from headstock.physics.fast_wide_rows import (
    FED_ANY,
    LATE,
    P_AT,
    P_BEHIND,
    P_DROOP,
    P_EXHAUST,
    P_FEED,
    P_FEED_TO,
    P_FLOW,
    P_GIVES,
    P_OUT_TO,
    P_OUTSIDE,
    P_SLOPE,
    P_SUPPLY,
    WideGear,
)


@bare
def factor(pipe: Floats, first: int, behind: int) -> None:
    """Eliminates cells ``first`` to before ``behind`` from both ends towards the middle: WEIGHT, SHARE."""
    middle = first + (behind - first) // 2
    front, rear = eight(0.0), eight(0.0)  # what the cell before (behind) hands on of its own pressure
    for away in range(middle - first):
        i, k = LEAD + (first + away) * WIDTH, LEAD + (behind - 1 - away) * WIDTH
        b, before = load(pipe, B, i), load(pipe, B, i - WIDTH)
        over = 1.0 / (load(pipe, LOW, i) - before * front)
        front = b * over
        store(pipe, WEIGHT, i, over)
        store(pipe, SHARE, i, front)
        if behind - 1 - away > middle:
            b, before = load(pipe, B, k), load(pipe, B, k - WIDTH)
            over = 1.0 / (load(pipe, LOW, k) - b * rear)
            rear = before * over
            store(pipe, WEIGHT, k, over)
            store(pipe, SHARE, k, rear)
    j = LEAD + middle * WIDTH
    store(pipe, WEIGHT, j, 1.0 / (load(pipe, LOW, j) - load(pipe, B, j - WIDTH) * front - load(pipe, B, j) * rear))


@bare
def solve(pipe: Floats, first: int, behind: int, given: int, found: int) -> None:
    """Solves eliminated cells with the right side in row ``given``, into row ``found``."""
    middle = first + (behind - first) // 2
    top, low, front, rear = eight(0.0), eight(0.0), eight(0.0), eight(0.0)
    for away in range(middle - first):
        i, k = LEAD + (first + away) * WIDTH, LEAD + (behind - 1 - away) * WIDTH
        top = load(pipe, given, i) + front * top
        front = load(pipe, SHARE, i)
        store(pipe, SUM, i, top)
        if behind - 1 - away > middle:
            low = load(pipe, given, k) + rear * low
            rear = load(pipe, SHARE, k)
            store(pipe, SUM, k, low)
    j = LEAD + middle * WIDTH
    up = (load(pipe, given, j) + front * top + rear * low) * load(pipe, WEIGHT, j)
    store(pipe, found, j, up)
    down = up
    for away in range(1, middle - first + 1):
        i, k = j - away * WIDTH, j + away * WIDTH
        up = load(pipe, SUM, i) * load(pipe, WEIGHT, i) + load(pipe, SHARE, i) * up
        store(pipe, found, i, up)
        if middle + away < behind:
            down = load(pipe, SUM, k) * load(pipe, WEIGHT, k) + load(pipe, SHARE, k) * down
            store(pipe, found, k, down)


@bare
def ports_of_eight(gear: WideGear) -> None:
    """Which valves pass anything in any lane, and which of them feed."""
    gear.flags[LATE], gear.flags[FED_ANY] = 0, 0
    for v in range(gear.feed.size):
        gear.live[v], gear.feeding[v] = 0, 0
        for j in range(v * WIDTH, (v + 1) * WIDTH):
            gear.port[P_SLOPE, j], gear.port[P_FLOW, j] = 0.0, 0.0
            if gear.port[P_FEED, j] > 0.0:
                gear.live[v], gear.feeding[v] = 1, 1
            elif gear.port[P_EXHAUST, j] > 0.0:
                gear.live[v] = 1
        if gear.live[v] > 0 and gear.port_cell[v] >= gear.split:
            gear.flags[LATE] = 1
        if gear.feeding[v] > 0 and gear.feed[v] != NONE:
            gear.flags[FED_ANY] = 1


@bare
def wide_supplies(gear: WideGear, pipe: Floats) -> None:
    """Per fed valve: the pressure at its source without it [Pa], and by how much it gives way [Pa per kg/s]."""
    m, n = gear.split, gear.cells
    factor(pipe, m, n)
    solve(pipe, m, n, HIGH, BEHIND)
    for v in range(gear.feed.size):
        if gear.feed[v] == NONE or gear.feeding[v] == 0:
            continue
        for i in range(m, n):
            store(pipe, UNIT, LEAD + i * WIDTH, eight(1.0 if i == gear.feed[v] else 0.0))
        solve(pipe, m, n, UNIT, GIVES)
        at = LEAD + gear.feed[v] * WIDTH
        store(gear.port, P_BEHIND, v * WIDTH, load(pipe, BEHIND, at))
        store(gear.port, P_GIVES, v * WIDTH, load(pipe, GIVES, at))


@bare
def _branch(port: Floats, at: int, cell_pa: Floats, over_root: float) -> tuple[Floats, Floats]:
    """Net inflow of a valve on a branch [kg/s] at its cell's static pressure, and its slope."""
    droop = load(port, P_DROOP, at)
    into, lean, _ = fed(load(port, P_SUPPLY, at), load(port, P_FEED, at), load(port, P_FEED_TO, at), droop, cell_pa, over_root)
    out, less = let_out(
        load(port, P_EXHAUST, at), load(port, P_OUT_TO, at), droop, load(port, P_OUTSIDE, at), cell_pa, 1.0, over_root
    )
    return into - out, lean - less


@bare
def some(lane: Floats, row: int) -> bool:
    """Whether a figure is above 0 in any lane."""
    found = False
    for w in range(WIDTH):
        found = found or lane[row, w] > 0.0
    return found


@bare
def _fed_line(gear: WideGear, v: int, lane: Floats, over_root: float) -> None:
    """A fed valve as a line about a face pressure, its source giving way, in every lane that LOOKS and in which it feeds."""
    port, at = gear.port, v * WIDTH
    face, feed, feed_to, droop = load(port, P_AT, at), load(port, P_FEED, at), load(port, P_FEED_TO, at), load(port, P_DROOP, at)
    behind, gives = load(port, P_BEHIND, at), load(port, P_GIVES, at)
    feeds = (load(lane, LOOKS, 0) > 0.0) & (feed > 0.0)
    most, by_face, by_supply = fed(behind, feed, feed_to, droop, face, over_root)
    least, into, busy = eight(0.0), 0.5 * most, feeds
    for _ in range(ROUNDS):
        through, lean, less = fed(behind - gives * into, feed, feed_to, droop, face, over_root)
        by_face, by_supply = select(busy, lean, by_face), select(busy, less, by_supply)
        change = (through - into) / (1.0 + gives * by_supply)
        rises = change > 0.0
        least, most = select(busy & rises, into, least), select(rises, most, select(busy, into, most))
        to = into + change
        to = select((to >= least) & (to <= most), to, 0.5 * (least + most))
        into = select(busy, to, into)
        busy = busy & (abs(change) >= CLOSE_KG_S)
        store(lane, ASIDE, 0, select(busy, 1.0, 0.0))
        if not some(lane, ASIDE):
            break
    lean = by_face / (1.0 + gives * by_supply)
    store(port, P_SUPPLY, at, select(feeds, behind - gives * into, load(port, P_SUPPLY, at)))
    store(port, P_SLOPE, at, select(feeds, lean, load(port, P_SLOPE, at)))
    store(port, P_FLOW, at, select(feeds, into - lean * face, load(port, P_FLOW, at)))


@bare
def ports_at_row(gear: WideGear, pipe: Floats, lane: Floats, row: int) -> None:
    """Where valves are looked at, in lanes that LOOK: the pressures of the cells they are on."""
    looks = load(lane, LOOKS, 0) > 0.0
    for v in range(gear.feed.size):
        at = load(pipe, row, LEAD + gear.port_cell[v] * WIDTH)
        store(gear.port, P_AT, v * WIDTH, select(looks, at, load(gear.port, P_AT, v * WIDTH)))


@bare
def wide_port_lines(gear: WideGear, lane: Floats, over_root: float) -> None:
    """Each valve on a branch as a straight line about a pressure, in lanes that LOOK."""
    looks, port = load(lane, LOOKS, 0) > 0.0, gear.port
    for v in range(gear.feed.size):
        if gear.live[v] == 0:
            continue
        at = v * WIDTH
        if gear.feed[v] != NONE and gear.feeding[v] > 0:
            _fed_line(gear, v, lane, over_root)
        here = load(port, P_AT, at)
        into, lean = _branch(port, at, here, over_root)
        plain = looks if gear.feed[v] == NONE else looks & (load(port, P_FEED, at) <= 0.0)
        store(port, P_SLOPE, at, select(plain, lean, load(port, P_SLOPE, at)))
        store(port, P_FLOW, at, select(plain, into - lean * here, load(port, P_FLOW, at)))


@bare
def wide_add_ports(gear: WideGear, pipe: Floats, lane: Floats, sign: float) -> None:
    """Puts the lines into the balances of their cells, in lanes that LOOK; with ``sign`` -1, takes them out again."""
    looks = load(lane, LOOKS, 0) > 0.0
    for v in range(gear.feed.size):
        if gear.live[v] > 0:
            i = LEAD + gear.port_cell[v] * WIDTH
            slope, flow = load(gear.port, P_SLOPE, v * WIDTH), load(gear.port, P_FLOW, v * WIDTH)
            store(pipe, LOW, i, load(pipe, LOW, i) - sign * select(looks, slope, 0.0))
            store(pipe, HIGH, i, load(pipe, HIGH, i) + sign * select(looks, flow, 0.0))


@bare
def _passes(gear: WideGear, v: int, pipe: Floats, row: int) -> Floats:
    """What a valve's line lets in at a row of pressures [kg/s]."""
    here = load(pipe, row, LEAD + gear.port_cell[v] * WIDTH)
    into: Floats = load(gear.port, P_FLOW, v * WIDTH) + load(gear.port, P_SLOPE, v * WIDTH) * here
    return into


@bare
def wide_draw_feeds(gear: WideGear, pipe: Floats, lane: Floats, sign: float) -> None:
    """What fed valves pass at the new pressures, out of the cells they are fed from, in lanes that LOOK; -1: put back."""
    looks = load(lane, LOOKS, 0) > 0.0
    for v in range(gear.feed.size):
        if gear.feed[v] != NONE and gear.live[v] > 0:
            into, i = _passes(gear, v, pipe, NEW), LEAD + gear.feed[v] * WIDTH
            store(pipe, HIGH, i, load(pipe, HIGH, i) - sign * select(looks & (into > 0.0), into, 0.0))


@bare
def wide_ports_missed(gear: WideGear, pipe: Floats, lane: Floats, over_root: float, enough_pa: float) -> Floats:
    """In which lanes (above 0) a valve passes other than its line says, by more than moves its cell so far."""
    missed: Floats = eight(0.0)
    short = load(lane, SHORT, 0)
    for v in range(gear.feed.size):
        if gear.live[v] == 0:
            continue
        at, i = v * WIDTH, LEAD + gear.port_cell[v] * WIDTH
        into, _ = _branch(gear.port, at, load(pipe, NEW, i), over_root)
        off = abs(into - _passes(gear, v, pipe, NEW))
        enough = enough_pa * (load(pipe, CAP, i) / short + abs(load(gear.port, P_SLOPE, at)))
        missed = missed + select(off <= enough, 0.0, 1.0)
    return missed


@bare
def through_ports_of_eight(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """What valves on branches let in and out at the new pressures, and draw where they are fed from; where a step is taken."""
    taken, short = load(lane, TAKES, 0) > 0.0, load(lane, SHORT, 0)
    for v in range(gear.feed.size):
        if gear.live[v] == 0:
            continue
        into, i = select(taken, _passes(gear, v, pipe, P), 0.0), LEAD + gear.port_cell[v] * WIDTH
        let_in, let_out_ = select(into > 0.0, into, 0.0), select(into < 0.0, -into, 0.0)
        store(lane, FED, 0, load(lane, FED, 0) + short * let_in)
        store(pipe, DRAWN, i, load(pipe, DRAWN, i) - into)
        if gear.feed[v] != NONE:
            j = LEAD + gear.feed[v] * WIDTH
            store(pipe, DRAWN, j, load(pipe, DRAWN, j) + let_in)
            let_out_ = let_out_ + let_in
        store(lane, OUT, 0, load(lane, OUT, 0) + short * let_out_)
