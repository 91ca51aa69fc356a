"""Compiled stand-in brakes of the fast solver, as comparisons of air engines have them: chamber, reservoir, cylinder and leak.

Eight brakes of one lane at a time, or one brake of eight lanes (rows: ``fast_layout``).
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from typing import Any

from headstock.physics._compile import bare, within
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_layout import (
    AIM,
    CHAMBER,
    CHAMBER1,
    CHAMBER_CHOKE,
    CYLINDER,
    DRAWN,
    FED_BY_PIPE,
    FILL,
    FILLS,
    GAIN,
    GUESS,
    HERE,
    HIGH,
    LEAD,
    LEAK,
    LEAK_AREA,
    LOW,
    MORE_HIGH,
    MORE_LOW,
    MOST,
    OVER_CHAMBER,
    OVER_STORE,
    RELEASES,
    RESERVOIR,
    RESERVOIR1,
    STORE,
    STORE_CHOKE,
    TAKEN,
    VOLUME,
)
from headstock.physics.fast_nozzle import LEAST_DROP_PA, psi_of


@bare
def gather(pipe: Floats, row: int, cells: Ints, lanes: int, side: Floats) -> None:
    """The brakes' cells of a row of the pipe, into HERE."""
    for k in range(cells.size):
        i = LEAD + cells[k] * lanes
        if lanes == WIDTH:
            store(side, HERE, k * WIDTH, load(pipe, row, i))
        else:
            side[HERE, k] = pipe[row, i]


@bare
def scatter(side: Floats, row: int, cells: Ints, lanes: int, pipe: Floats, target: int) -> None:
    """A row of the brakes added to their cells in a row of the pipe."""
    for k in range(cells.size):
        i = LEAD + cells[k] * lanes
        if lanes == WIDTH:
            store(pipe, target, i, load(pipe, target, i) + load(side, row, k * WIDTH))
        else:
            pipe[target, i] += side[row, k]


@within
def _choke_line(choke: Any, over_volume: Any, here: Any, over: Any, seen: Any, short_rt: Any, over_root: Any) -> Any:
    """Conductance of a choke with a check valve towards what the vessel held, its own filling put in."""
    drop = here - seen
    flow = choke * here * psi_of(seen * over) * over_root
    g = flow / (select(drop > LEAST_DROP_PA, drop, LEAST_DROP_PA) + flow * short_rt * over_volume)
    return select(drop > 0.0, g, 0.0)


@bare
def brake_lines(
    pipe: Floats, side: Floats, cells: Ints, lanes: int, stored: bool, ratio: Floats, now: Floats, before: Floats,
    short_rt: Floats, over_root: float, outside: Floats,
) -> None:  # fmt: skip
    """Leaks, chambers and reservoirs as conductances, into the balances of their cells. ``stored``: the pipe feeds reservoirs."""
    gather(pipe, GUESS, cells, lanes, side)
    for j in range(0, cells.size * lanes, WIDTH):
        here = load(side, HERE, j)
        over = 1.0 / here
        level, earlier = load(side, CHAMBER, j), load(side, CHAMBER1, j)
        leak = load(side, LEAK_AREA, j) * psi_of(outside * over) * over_root
        fill = _choke_line(load(side, CHAMBER_CHOKE, j), load(side, OVER_CHAMBER, j), here, over,
                           level + ratio * (level - earlier), short_rt, over_root)  # fmt: skip
        store(side, LEAK, j, leak)
        store(side, FILL, j, fill)
        low, high = leak + fill, fill * (now * level - before * earlier)
        if stored:
            level, earlier = load(side, RESERVOIR, j), load(side, RESERVOIR1, j)
            fill = _choke_line(load(side, STORE_CHOKE, j), load(side, OVER_STORE, j), here, over,
                               level + ratio * (level - earlier), short_rt, over_root)  # fmt: skip
            store(side, STORE, j, fill)
            low, high = low + fill, high + fill * (now * level - before * earlier)
        store(side, MORE_LOW, j, low)
        store(side, MORE_HIGH, j, high)
    scatter(side, MORE_LOW, cells, lanes, pipe, LOW)
    scatter(side, MORE_HIGH, cells, lanes, pipe, HIGH)


@within
def decay(x: Any) -> Any:
    """exp(-x) for x >= 0 without a call: a polynomial at a sixteenth, squared four times; 1e-7 off up to x = 2."""
    t = x * 0.0625
    e = 1.0 + t * (1.0 + t * (0.5 + t * (1.0 / 6.0 + t * (1.0 / 24.0 + t * (1.0 / 120.0 + t * (1.0 / 720.0))))))
    e = e * e
    e = e * e
    e = e * e
    return 1.0 / (e * e)


@within
def _target(gain: Any, most: Any, held: Any, here: Any, limit: Any) -> Any:
    """What a cylinder goes to [Pa, gauge]."""
    target = gain * (held - here)
    target = select(target < most, target, most)
    target = select(target < limit, target, limit)
    return select(target > 0.0, target, 0.0)


@bare
def first_targets(pipe: Floats, side: Floats, cells: Ints, lanes: int, outside: Floats) -> None:
    """What each cylinder goes to at the pressures of now."""
    gather(pipe, 0, cells, lanes, side)
    for j in range(0, cells.size * lanes, WIDTH):
        limit = load(side, RESERVOIR, j) - outside
        store(side, AIM, j, _target(load(side, GAIN, j), load(side, MOST, j), load(side, CHAMBER, j), load(side, HERE, j), limit))


@bare
def take_brakes(
    pipe: Floats, side: Floats, cells: Ints, lanes: int, ratio: Floats, now: Floats, before: Floats, dt: Floats, short_rt: Floats,
    over_alpha: Floats, over_rt: float, takes: Floats, outside: Floats,
) -> tuple[Floats, Floats, Floats]:  # fmt: skip
    """Vessels and cylinders after the pressures, what they draw into the branches; only where a step is taken (above 0).

    Returns, at each of eight places: what leaks away [kg/s], what goes into cylinders [kg], a reservoir's greatest miss [Pa].
    """
    taken = takes > 0.0
    leaked, spent, miss = eight(0.0), eight(0.0), eight(0.0)
    gather(pipe, 0, cells, lanes, side)
    for j in range(0, cells.size * lanes, WIDTH):
        p, level, store_level = load(side, HERE, j), load(side, CHAMBER, j), load(side, RESERVOIR, j)
        held = now * level - before * load(side, CHAMBER1, j)
        held_store = now * store_level - before * load(side, RESERVOIR1, j)
        ahead = store_level + ratio * (store_level - load(side, RESERVOIR1, j))
        over_store, volume = load(side, OVER_STORE, j), load(side, VOLUME, j)
        flow = load(side, FILL, j) * (p - held)
        kept = held + flow * short_rt * load(side, OVER_CHAMBER, j)
        into = load(side, STORE, j) * (p - held_store)
        stored = held_store + into * short_rt * over_store
        leak = load(side, LEAK, j) * p
        limit = stored - outside
        target = _target(load(side, GAIN, j), load(side, MOST, j), kept, p, limit)
        # Exact for a target that runs straight from where it was to where it is.
        old, aim = load(side, CYLINDER, j), load(side, AIM, j)
        part = dt * select(target > old, load(side, FILLS, j), load(side, RELEASES, j))
        behind = (target - aim) / part
        new = target - behind + (old - aim + behind) * decay(part)
        new = select(new < limit, new, limit)
        new = select(new > 0.0, new, 0.0)
        rise = (new - old) * over_alpha
        rise = select(rise > 0.0, rise, 0.0)
        reservoir = stored - rise * volume * over_store
        off = abs(reservoir - ahead)
        miss = select(off > miss, off, miss)
        leaked = leaked + leak
        spent = spent + rise * volume * load(side, FED_BY_PIPE, j) * over_rt
        store(side, TAKEN, j, select(taken, flow + into + leak, 0.0))
        store(side, CHAMBER1, j, select(taken, level, load(side, CHAMBER1, j)))
        store(side, CHAMBER, j, select(taken, kept, level))
        store(side, RESERVOIR1, j, select(taken, store_level, load(side, RESERVOIR1, j)))
        store(side, RESERVOIR, j, select(taken, reservoir, store_level))
        store(side, CYLINDER, j, select(taken, new, old))
        store(side, AIM, j, select(taken, target, aim))
    scatter(side, TAKEN, cells, lanes, pipe, DRAWN)
    return leaked, spent, miss
