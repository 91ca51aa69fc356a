"""Compiled vessels of eight lanes at a time: the lines of ``fast_vessels`` by selection.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.distributor import RELEASED
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_gear import ALWAYS, NONE
from headstock.physics.fast_layout import (
    BEFORE,
    DRAWN,
    ERROR,
    FED,
    GUESS,
    HIGH,
    LEAD,
    LOW,
    NEW,
    NOW,
    OUT,
    OUTSIDE,
    RATIO,
    SHORT,
    TAKES,
    TURNED,
    P,
)
from headstock.physics.fast_nozzle import LEAST_DROP_PA, psi_of
from headstock.physics.fast_vessels import SLACK_PA
from headstock.physics.fast_wide_rows import (
    D_ISOLATED,
    D_MODE,
    V_AREA,
    V_BACKED,
    V_BACKED_AREA,
    V_BEFORE,
    V_BLOWING,
    V_BOTH,
    V_CHOKE,
    V_COMPRESSOR,
    V_CONDUCT,
    V_LEAK,
    V_LEVEL,
    V_MAY,
    V_NEW,
    V_OPENING,
    V_OPENS,
    V_OUT,
    V_OUTLET,
    V_OVER_BOTTOM,
    V_RUNNING,
    V_SAFETY,
    V_SEEN,
    V_SHARE,
    V_SHUTS,
    V_STARTS,
    V_STOPS,
    V_TOP,
    V_TURNED,
    V_VENT,
    V_VOLUME,
    WideGear,
)


@bare
def vessels_open(gear: WideGear) -> None:
    """What is open from cells into vessels and from vessels to the atmosphere, as everything stands."""
    for v in range(gear.cell.size):
        k = gear.master[v]
        gear.outlets[v] = 0
        for w in range(WIDTH):
            j = v * WIDTH + w
            is_open, released = True, False
            if k != NONE:
                cut = gear.brake[D_ISOLATED, k * WIDTH + w] > 0.0
                mode_released = gear.brake[D_MODE, k * WIDTH + w] == RELEASED
                released = mode_released or cut
                is_open = not cut and (gear.opens[v] == ALWAYS or mode_released == (gear.opens[v] == RELEASED))
            share = gear.vessel[V_SHARE, j] if is_open else 0.0
            gear.vessel[V_AREA, j] = gear.vessel[V_CHOKE, j] * share
            gear.vessel[V_BACKED_AREA, j] = gear.vessel[V_BACKED, j] * share
            area = gear.vessel[V_LEAK, j] + gear.vessel[V_OPENING, j] + gear.vessel[V_SAFETY, j] * gear.vessel[V_BLOWING, j]
            gear.vessel[V_OUTLET, j] = area + gear.vessel[V_VENT, j] if released else area
            if gear.vessel[V_OUTLET, j] > 0.0:
                gear.outlets[v] = 1


@bare
def wide_vessel_lines(gear: WideGear, pipe: Floats, lane: Floats, over_root: float) -> None:
    """Every vessel as a conductance to what it will hold, its own filling put in; into the balances of its cell."""
    ratio, now, before, outside = load(lane, RATIO, 0), load(lane, NOW, 0), load(lane, BEFORE, 0), load(lane, OUTSIDE, 0)
    over_short = 1.0 / load(lane, SHORT, 0)
    vessel = gear.vessel
    for v in range(gear.cell.size):
        at, i = v * WIDTH, LEAD + gear.cell[v] * WIDTH
        j = LEAD + max(gear.second[v], 0) * WIDTH
        level, earlier = load(vessel, V_LEVEL, at), load(vessel, V_BEFORE, at)
        ahead = level + ratio * (level - earlier)
        here, area, both, turned = load(pipe, GUESS, i), load(vessel, V_AREA, at), load(vessel, V_BOTH, at), eight(0.0)
        if gear.second[v] != NONE:
            other = load(pipe, GUESS, j)
            turns = other > here + SLACK_PA
            here, both = select(turns, other, here), select(turns, 0.0, both)
            area, turned = select(turns, load(vessel, V_BACKED_AREA, at), area), select(turns, 1.0, 0.0)
        seen = select(ahead > 1.0, ahead, 1.0)
        drop = here - seen
        fills = drop > 0.0
        up, down, steep = select(fills, here, seen), select(fills, seen, here), abs(drop)
        g = area * up * psi_of(down / up) * over_root / select(steep > LEAST_DROP_PA, steep, LEAST_DROP_PA)
        g = select(fills | (both > 0.0), g, 0.0)
        out = eight(0.0)
        if gear.outlets[v] > 0:
            out = load(vessel, V_OUTLET, at) * psi_of(outside / seen) * over_root
        hold = load(vessel, V_VOLUME, at) * over_short
        put = hold * (now * level - before * earlier) + load(vessel, V_COMPRESSOR, at) * load(vessel, V_RUNNING, at)
        over = 1.0 / (hold + g + out)
        low, high = g * (1.0 - g * over), g * put * over
        store(vessel, V_SEEN, at, ahead)
        store(vessel, V_CONDUCT, at, g)
        store(vessel, V_OUT, at, out)
        store(vessel, V_TOP, at, put)
        store(vessel, V_OVER_BOTTOM, at, over)
        store(vessel, V_TURNED, at, turned)
        if gear.second[v] != NONE:
            away = turned > 0.0
            store(pipe, LOW, j, load(pipe, LOW, j) + select(away, low, 0.0))
            store(pipe, HIGH, j, load(pipe, HIGH, j) + select(away, high, 0.0))
            low, high = select(away, 0.0, low), select(away, 0.0, high)
        store(pipe, LOW, i, load(pipe, LOW, i) + low)
        store(pipe, HIGH, i, load(pipe, HIGH, i) + high)


@bare
def _at_cell(gear: WideGear, v: int, pipe: Floats, row: int) -> Floats:
    """A row of the pipe at the cell that fills a vessel."""
    here: Floats = load(pipe, row, LEAD + gear.cell[v] * WIDTH)
    if gear.second[v] != NONE:
        here = select(load(gear.vessel, V_TURNED, v * WIDTH) > 0.0, load(pipe, row, LEAD + gear.second[v] * WIDTH), here)
    return here


@bare
def wide_vessels_after(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """What vessels hold at the new pressures; the greatest miss of what was extrapolated into ERROR, bulbs and the like aside."""
    error, vessel = load(lane, ERROR, 0), gear.vessel
    for v in range(gear.cell.size):
        at = v * WIDTH
        level = load(vessel, V_TOP, at) + load(vessel, V_CONDUCT, at) * _at_cell(gear, v, pipe, NEW)
        level = level * load(vessel, V_OVER_BOTTOM, at)
        store(vessel, V_NEW, at, level)
        if gear.master[v] == NONE or gear.opens[v] != 1:
            off = abs(level - load(vessel, V_SEEN, at))
            error = select(off > error, off, error)
    store(lane, ERROR, 0, error)


@bare
def wide_take_vessels(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """New levels in, the last ones kept; what was drawn, let out and put in, into branches and tally; where a step is taken."""
    taken, short, vessel = load(lane, TAKES, 0) > 0.0, load(lane, SHORT, 0), gear.vessel
    put_in, let_out = eight(0.0), eight(0.0)
    for v in range(gear.cell.size):
        at, i = v * WIDTH, LEAD + gear.cell[v] * WIDTH
        level, had = load(vessel, V_NEW, at), load(vessel, V_LEVEL, at)
        drawn = select(taken, load(vessel, V_CONDUCT, at) * (_at_cell(gear, v, pipe, P) - level), 0.0)
        put_in = put_in + load(vessel, V_COMPRESSOR, at) * load(vessel, V_RUNNING, at)
        let_out = let_out + load(vessel, V_OUT, at) * level
        store(vessel, V_BEFORE, at, select(taken, had, load(vessel, V_BEFORE, at)))
        store(vessel, V_LEVEL, at, select(taken, level, had))
        if gear.second[v] != NONE:
            away, j = load(vessel, V_TURNED, at) > 0.0, LEAD + gear.second[v] * WIDTH
            store(pipe, DRAWN, j, load(pipe, DRAWN, j) + select(away, drawn, 0.0))
            drawn = select(away, 0.0, drawn)
        store(pipe, DRAWN, i, load(pipe, DRAWN, i) + drawn)
    store(lane, FED, 0, load(lane, FED, 0) + select(taken, short * put_in, 0.0))
    store(lane, OUT, 0, load(lane, OUT, 0) + select(taken, short * let_out, 0.0))


@bare
def wide_governors(gear: WideGear, lane: Floats) -> None:
    """Compressors and safety valves at the end of a step, where it is taken; TURNED where one changed."""
    taken, turned, vessel = load(lane, TAKES, 0) > 0.0, load(lane, TURNED, 0), gear.vessel
    for number in range(gear.governed.size):
        at = gear.governed[number] * WIDTH
        level, runs, blows = load(vessel, V_LEVEL, at), load(vessel, V_RUNNING, at), load(vessel, V_BLOWING, at)
        goes_on = (level < load(vessel, V_STARTS, at)) | ((runs > 0.0) & (level < load(vessel, V_STOPS, at)))
        now = select((load(vessel, V_MAY, at) > 0.0) & goes_on & taken, 1.0, select(taken, 0.0, runs))
        lets = (level > load(vessel, V_OPENS, at)) | ((blows > 0.0) & (level > load(vessel, V_SHUTS, at)))
        blow = select(lets & taken, 1.0, select(taken, 0.0, blows))
        turned = turned + abs(now - runs) + abs(blow - blows)
        store(vessel, V_RUNNING, at, now)
        store(vessel, V_BLOWING, at, blow)
    store(lane, TURNED, 0, turned)
