"""Compiled modes of distributors, eight lanes at a time: the guards of ``fast_distributors`` by selection.

Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from typing import Any

from headstock.physics._compile import bare, within
from headstock.physics.arrays import Floats
from headstock.physics.distributor import APPLIED, EMERGENCY, RELEASED
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_layout import DRAWN, GUESS, LEAD, LOW, NEW, OUT, OUTSIDE, PART, SHORT, TAKES, TURNED, P
from headstock.physics.fast_nozzle import psi_of
from headstock.physics.fast_wide_rows import (
    BLOWING,
    D_ACTS,
    D_APPLIES,
    D_BLOW,
    D_BLOW_FROM,
    D_BLOW_TO,
    D_BLOWN,
    D_BLOWS,
    D_DIRECT,
    D_ISOLATED,
    D_MODE,
    D_RELEASES,
    D_TURNED_AT,
    V_LEVEL,
    V_NEW,
    WideGear,
)


@bare
def _wish(gear: WideGear, k: int, row: int, pipe: Floats) -> tuple[Floats, Floats]:
    """The mode a distributor goes to at a pipe pressure and a row of vessel levels, and by how much it is over [Pa]."""
    at, brake, vessel = k * WIDTH, gear.brake, gear.vessel
    direct = load(brake, D_DIRECT, at) > 0.0
    reference = select(direct, load(vessel, row, gear.store[k] * WIDTH), load(vessel, row, gear.chamber[k] * WIDTH))
    rated = reference if gear.rated[k] < 0 else load(vessel, row, gear.rated[k] * WIDTH)
    mode, turned_at, moves = load(brake, D_MODE, at), load(brake, D_TURNED_AT, at), load(brake, D_APPLIES, at)
    lets = load(brake, D_RELEASES, at)
    # Released, then applied, then emergency: the later ones put aside what does not hold for them.
    over = select(reference < turned_at, reference, turned_at) - pipe - moves
    to = select(over > 0.0, 1.0 * APPLIED, 1.0 * RELEASED)
    back = select(direct, pipe - reference - lets, lets - (reference - pipe))
    rise = pipe - turned_at - moves
    back = select(back < rise, back, rise)
    applied, blowing = mode == 1.0 * APPLIED, mode == 1.0 * EMERGENCY
    to = select(applied, select(back > 0.0, 1.0 * RELEASED, 1.0 * APPLIED), to)
    over = select(applied, back, over)
    full = load(brake, D_BLOW_TO, at) - pipe
    to = select(blowing, select(full > 0.0, 1.0 * APPLIED, 1.0 * EMERGENCY), to)
    over = select(blowing, full, over)
    fast = rated - pipe - load(brake, D_BLOW_FROM, at)
    blows = (load(brake, D_BLOW, at) > 0.0) & (mode < 1.5) & (fast > 0.0) & (full <= 0.0)
    return select(blows, 1.0 * EMERGENCY, to), select(blows, fast, over)


@within
def _heeds(brake: Any, at: Any) -> Any:
    """Where a distributor is neither cut off nor without a gain."""
    return (load(brake, D_ISOLATED, at) <= 0.0) & (load(brake, D_ACTS, at) > 0.0)


@bare
def wide_earliest_turn(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """The part of the step after which the first distributor turns, into PART; above 1 where none does."""
    first, brake, vessel = eight(2.0), gear.brake, gear.vessel
    for k in range(gear.place.size):
        at, i = k * WIDTH, LEAD + gear.place[k] * WIDTH
        mode = load(brake, D_MODE, at)
        to, over = _wish(gear, k, V_NEW, load(pipe, NEW, i))
        p = load(pipe, P, i)
        _, had = _wish(gear, k, V_LEVEL, p)
        direct = load(brake, D_DIRECT, at) > 0.0
        rated = select(direct, load(vessel, V_LEVEL, gear.store[k] * WIDTH), load(vessel, V_LEVEL, gear.chamber[k] * WIDTH))
        if gear.rated[k] >= 0:
            rated = load(vessel, V_LEVEL, gear.rated[k] * WIDTH)
        blows = (to == 1.0 * EMERGENCY) & (mode < 1.5)
        had = select(blows, rated - p - load(brake, D_BLOW_FROM, at), had)
        part = select(had < 0.0, -had / (over - had), 0.0)
        turns = _heeds(brake, at) & (abs(to - mode) > 0.5) & (part < first)
        first = select(turns, part, first)
    store(lane, PART, 0, first)


@bare
def wide_turns(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """Every distributor to the mode it wishes, where a step is taken; TURNED where one turned."""
    taken, turned, brake = load(lane, TAKES, 0) > 0.0, load(lane, TURNED, 0), gear.brake
    for k in range(gear.place.size):
        at = k * WIDTH
        mode, was, pipe_pa = load(brake, D_MODE, at), load(brake, D_TURNED_AT, at), load(pipe, P, LEAD + gear.place[k] * WIDTH)
        to, _ = _wish(gear, k, V_LEVEL, pipe_pa)
        to = select(_heeds(brake, at), to, 1.0 * RELEASED)
        furthest = select(to == 1.0 * RELEASED, select(pipe_pa > was, pipe_pa, was), select(pipe_pa < was, pipe_pa, was))
        anew = (abs(to - mode) > 0.5) | (load(brake, D_ISOLATED, at) > 0.0)
        furthest = select(anew, pipe_pa, furthest)
        to = select(taken, to, mode)
        turned = turned + abs(to - mode)
        store(brake, D_TURNED_AT, at, select(taken, furthest, was))
        store(brake, D_MODE, at, to)
    store(lane, TURNED, 0, turned)


@bare
def emergencies_open(gear: WideGear) -> None:
    """What distributors in emergency open from the pipe to the atmosphere, as everything stands."""
    gear.flags[BLOWING] = 0
    for k in range(gear.place.size):
        for j in range(k * WIDTH, (k + 1) * WIDTH):
            blows = gear.brake[D_MODE, j] == EMERGENCY and gear.brake[D_ISOLATED, j] == 0.0
            gear.brake[D_BLOWS, j] = gear.brake[D_BLOW, j] if blows else 0.0
            gear.brake[D_BLOWN, j] = 0.0
            if blows:
                gear.flags[BLOWING] = 1


@bare
def wide_emergency_lines(gear: WideGear, pipe: Floats, lane: Floats, over_root: float) -> None:
    """What distributors in emergency let out of the pipe, as conductances from the pressure itself."""
    outside = load(lane, OUTSIDE, 0)
    for k in range(gear.place.size):
        i = LEAD + gear.place[k] * WIDTH
        blown = load(gear.brake, D_BLOWS, k * WIDTH) * psi_of(outside / load(pipe, GUESS, i)) * over_root
        store(gear.brake, D_BLOWN, k * WIDTH, blown)
        store(pipe, LOW, i, load(pipe, LOW, i) + blown)


@bare
def wide_take_emergency(gear: WideGear, pipe: Floats, lane: Floats) -> None:
    """The same at the new pressures, into branches and tally, where a step is taken."""
    taken, gone = load(lane, TAKES, 0) > 0.0, eight(0.0)
    for k in range(gear.place.size):
        i = LEAD + gear.place[k] * WIDTH
        out = select(taken, load(gear.brake, D_BLOWN, k * WIDTH) * load(pipe, P, i), 0.0)
        store(pipe, DRAWN, i, load(pipe, DRAWN, i) + out)
        gone = gone + out
    store(lane, OUT, 0, load(lane, OUT, 0) + load(lane, SHORT, 0) * gone)
