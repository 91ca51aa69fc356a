"""Compiled brake cylinders of eight lanes at a time: the lines of ``fast_distributors`` by selection.

Where a cylinder runs through the knee of its first step it is worked out lane by lane, by the same line as there.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import exp, log
from typing import Any

from headstock.physics._compile import bare, within
from headstock.physics.arrays import Floats
from headstock.physics.distributor import RELEASED
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.fast_brakes import decay
from headstock.physics.fast_layout import ASIDE, DT, LEAD, OUTSIDE, SPENT, SPENT1, TAKES, P
from headstock.physics.fast_wide_rows import (
    D_AIM,
    D_APPLICATION,
    D_AUTO,
    D_DIRECT,
    D_E_EMPTIES,
    D_E_FILLS,
    D_E_MOST,
    D_ELECTRIC,
    D_EMPTIES,
    D_FILLS,
    D_FIRST,
    D_FOLLOWED,
    D_GAIN,
    D_HOLDING,
    D_ISOLATED,
    D_KNEE,
    D_LEAK,
    D_MODE,
    D_MOST,
    D_QUICK,
    D_SIZE,
    D_START,
    D_TARGET,
    ELECTRIC,
    LEAKING,
    V_BEFORE,
    V_LEVEL,
    V_VOLUME,
    WideGear,
)
from headstock.physics.orifice import CHOKED_COEFFICIENT


@within
def least(one: Any, other: Any) -> Any:
    """The smaller of two, eight times."""
    return select(one < other, one, other)


@within
def most(one: Any, other: Any) -> Any:
    """The greater of two, eight times."""
    return select(one > other, one, other)


@bare
def _targets(gear: WideGear, k: int, pipe: Floats, outside: Floats) -> Floats:
    """Where the automatic circuit's cylinder pressure goes [Pa, gauge]."""
    at, brake, vessel = k * WIDTH, gear.brake, gear.vessel
    reservoir, volume = load(vessel, V_LEVEL, gear.store[k] * WIDTH), load(vessel, V_VOLUME, gear.store[k] * WIDTH)
    auto, size, top = load(brake, D_AUTO, at), load(brake, D_SIZE, at), load(brake, D_MOST, at)
    target = load(brake, D_GAIN, at) * (load(vessel, V_LEVEL, gear.chamber[k] * WIDTH) - pipe)
    target = most(target, load(brake, D_FIRST, at))
    target = most(least(least(target, top), reservoir - outside), 0.0)
    until_level = auto + most(reservoir - pipe, 0.0) * volume / size
    equal = (reservoir * volume + (auto + outside) * size) / (volume + size) - outside
    straight = most(auto, least(least(until_level, equal), top))
    target = select(load(brake, D_DIRECT, at) > 0.0, straight, target)
    nothing = (load(brake, D_MODE, at) == 1.0 * RELEASED) | (load(brake, D_ISOLATED, at) > 0.0)
    aim: Floats = select(nothing, 0.0, target)
    return aim


@bare
def _follow(gear: WideGear, pipe: Floats, lane: Floats) -> Floats:
    """Automatic circuits after a step in which their targets run straight; where one runs through its knee."""
    dt, outside, taken, brake = load(lane, DT, 0), load(lane, OUTSIDE, 0), load(lane, TAKES, 0) > 0.0, gear.brake
    some: Floats = eight(0.0)
    for k in range(gear.place.size):
        at = k * WIDTH
        target = _targets(gear, k, load(pipe, P, LEAD + gear.place[k] * WIDTH), outside)
        had, aim, knee = load(brake, D_AUTO, at), load(brake, D_AIM, at), 0.95 * load(brake, D_FIRST, at)
        start = select((load(brake, D_DIRECT, at) <= 0.0) & (aim > 0.0), aim, target)
        part = dt * select(target > had, load(brake, D_FILLS, at), load(brake, D_EMPTIES, at))
        behind = (target - start) / part
        through = select((target > knee) & (knee > had) & taken, 1.0, 0.0)
        some = some + through
        store(brake, D_TARGET, at, target)
        store(brake, D_START, at, start)
        store(brake, D_KNEE, at, through)
        store(brake, D_FOLLOWED, at, target - behind + (had - start + behind) * decay(part))
    return some


@bare
def _through_knees(gear: WideGear, lane: Floats) -> None:
    """Cylinders that run through the knee of their first step."""
    brake = gear.brake
    for j in range(gear.place.size * WIDTH):
        if brake[D_KNEE, j] == 0.0:
            continue
        dt, had, target, knee, quick = (
            lane[DT, j % WIDTH],
            brake[D_AUTO, j],
            brake[D_TARGET, j],
            0.95 * brake[D_FIRST, j],
            brake[D_QUICK, j],
        )
        reached = log((target - had) / (target - knee)) / quick
        if reached >= dt:
            brake[D_FOLLOWED, j] = target - (target - had) * exp(-quick * dt)
        else:
            brake[D_FOLLOWED, j] = target + (knee - target) * exp(-(dt - reached) * brake[D_FILLS, j])


@bare
def _electric(gear: WideGear, k: int, dt: Floats, limit: Floats) -> tuple[Floats, Floats]:
    """The electro-pneumatic circuit after a step, and what blew off meanwhile and was made up [Pa]."""
    at, brake = k * WIDTH, gear.brake
    had, cut = load(brake, D_ELECTRIC, at), load(brake, D_ISOLATED, at) > 0.0
    top = least(load(brake, D_E_MOST, at), limit)
    fill = select(load(brake, D_APPLICATION, at) > 0.0, load(brake, D_E_FILLS, at), 0.0)
    fill = select(cut, 0.0, fill)
    empty = select(load(brake, D_HOLDING, at) > 0.0, 0.0, load(brake, D_E_EMPTIES, at))
    empty = select(cut, load(brake, D_E_EMPTIES, at), empty)
    whole = fill + empty
    moves = whole > 0.0
    safe = select(moves, whole, 1.0)
    to = fill * top / safe
    gone = 1.0 - decay(safe * dt)
    through = select(fill > 0.0, empty * (to * dt + (had - to) * gone / safe), 0.0)
    after: Floats = select(moves, most(had + (to - had) * gone, 0.0), least(had, most(limit, 0.0)))
    made_up: Floats = select(moves, most(through, 0.0), 0.0)
    return after, made_up


@bare
def wide_take_cylinders(gear: WideGear, pipe: Floats, lane: Floats, over_root: float) -> None:
    """Both circuits of every cylinder after a step, where it is taken; what they take from the reservoir and what is lost."""
    store(lane, ASIDE, 0, _follow(gear, pipe, lane))
    some = 0.0
    for w in range(WIDTH):
        some += lane[ASIDE, w]
    if some > 0.0:
        _through_knees(gear, lane)
    dt, outside, taken = load(lane, DT, 0), load(lane, OUTSIDE, 0), load(lane, TAKES, 0) > 0.0
    spent, brake, vessel = eight(0.0), gear.brake, gear.vessel
    for k in range(gear.place.size):
        at, s = k * WIDTH, gear.store[k] * WIDTH
        level, size = load(vessel, V_LEVEL, s), load(brake, D_SIZE, at)
        limit = level - outside
        was_auto, was_electric = load(brake, D_AUTO, at), load(brake, D_ELECTRIC, at)
        had = most(was_auto, was_electric)
        auto = least(most(load(brake, D_FOLLOWED, at), 0.0), most(limit, 0.0))
        electric, through = eight(0.0), eight(0.0)
        if gear.flags[ELECTRIC] > 0:
            electric, through = _electric(gear, k, dt, limit)
        fills = most(most(auto, electric) - had, 0.0) + select(electric >= auto, through, 0.0)
        if gear.flags[LEAKING] > 0:
            hole = load(brake, D_LEAK, at)
            leaks = hole > 0.0
            gone = decay(select(leaks, hole * CHOKED_COEFFICIENT * over_root / size, 0.0) * dt)
            auto = select(leaks, most((auto + outside) * gone - outside, 0.0), auto)
            electric = select(leaks, most((electric + outside) * gone - outside, 0.0), electric)
        taking = select(taken, fills * size, 0.0)
        spent = spent + taking
        store(brake, D_AUTO, at, select(taken, auto, was_auto))
        store(brake, D_ELECTRIC, at, select(taken, electric, was_electric))
        store(brake, D_AIM, at, select(taken, load(brake, D_TARGET, at), load(brake, D_AIM, at)))
        fall = taking / load(vessel, V_VOLUME, s)  # off the level before as well: see `take_cylinders`
        store(vessel, V_LEVEL, s, level - fall)
        store(vessel, V_BEFORE, s, load(vessel, V_BEFORE, s) - fall)
    store(lane, SPENT, 0, load(lane, SPENT, 0) + spent)
    store(lane, SPENT1, 0, load(lane, SPENT1, 0) + spent)
