"""Compiled distributors of the fast solver: modes with their guards, and cylinders that follow; one lane.

A guard is looked at before a step counts: a step in which one is crossed is taken again so that it ends at the crossing.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import exp, log

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.distributor import APPLIED, EMERGENCY, RELEASED
from headstock.physics.fast_gear import NONE, GearArrays, GearSet, GearState, GearWork
from headstock.physics.fast_layout import OUT, OUTSIDE, SPENT, SPENT1
from headstock.physics.fast_nozzle import psi_of
from headstock.physics.orifice import CHOKED_COEFFICIENT

JUST_BEHIND_S = 0.0005
"""How far behind a crossing a shortened step ends."""


@bare
def _wish(gear: GearArrays, k: int, mode: float, pipe: float, turned_at: float, level: Floats) -> tuple[float, float]:
    """The mode a distributor goes to at a pipe pressure and vessel levels, and by how much it is over [Pa].

    ``turned_at`` is the highest pipe pressure since it let go, the lowest since it applied. A turn takes a movement of the pipe
    from there by what moves the valve as well: with the pipe between "lets go" and "applies" it would turn to and fro.
    """
    direct = gear.brakes[0, k] > 0.0
    reference = level[gear.store[k]] if direct else level[gear.chamber[k]]
    rated = level[gear.rate[k]] if gear.rate[k] != NONE else reference
    opens = rated - pipe > gear.brakes[11, k] and pipe >= gear.brakes[12, k]  # below, it would open and shut at every step
    if gear.brakes[10, k] > 0.0 and mode != EMERGENCY and opens:
        return EMERGENCY, rated - pipe - gear.brakes[11, k]
    if mode == EMERGENCY:
        over = gear.brakes[12, k] - pipe
        return (APPLIED, over) if over > 0.0 else (EMERGENCY, over)
    moves = gear.brakes[1, k]
    if mode == RELEASED:
        over = min(reference, turned_at) - pipe - moves
        return (APPLIED, over) if over > 0.0 else (RELEASED, over)
    over = pipe - reference - gear.brakes[2, k] if direct else gear.brakes[2, k] - (reference - pipe)
    over = min(over, pipe - turned_at - moves)
    return (RELEASED, over) if over > 0.0 else (mode, over)


@bare
def earliest_turn(gear: GearArrays, settings: GearSet, state: GearState, work: GearWork, p: Floats, new: Floats) -> float:
    """The part of the step after which the first distributor turns; above 1 when none does."""
    first = 2.0
    for k in range(gear.place.size):
        i = gear.place[k]
        mode = state.mode[k]
        if settings.brakes[0, k] > 0.0 or gear.brakes[16, k] <= 0.0:
            continue
        to, over = _wish(gear, k, mode, new[i], state.turned_at[k], work.new)
        if to == mode:
            continue
        _, had = _wish(gear, k, mode, p[i], state.turned_at[k], state.level)
        if to == EMERGENCY and mode != EMERGENCY:
            rated = gear.rate[k] if gear.rate[k] != NONE else (gear.store[k] if gear.brakes[0, k] > 0.0 else gear.chamber[k])
            had = state.level[rated] - p[i] - gear.brakes[11, k]
        part = -had / (over - had) if had < 0.0 else 0.0
        first = min(first, part)
    return first


@bare
def turn_distributors(gear: GearArrays, settings: GearSet, state: GearState, p: Floats) -> bool:
    """Every distributor to the mode it wishes; whether one turned."""
    turned = False
    for k in range(gear.place.size):
        i = gear.place[k]
        if settings.brakes[0, k] > 0.0 or gear.brakes[16, k] <= 0.0:
            to = 1.0 * RELEASED
        else:
            to, _ = _wish(gear, k, state.mode[k], p[i], state.turned_at[k], state.level)
        if to != state.mode[k] or settings.brakes[0, k] > 0.0:
            state.turned_at[k] = p[i]
        elif to == RELEASED:
            state.turned_at[k] = max(state.turned_at[k], p[i])
        else:
            state.turned_at[k] = min(state.turned_at[k], p[i])
        turned = turned or to != state.mode[k]
        state.mode[k] = to
    return turned


@bare
def emergency_lines(
    gear: GearArrays,
    settings: GearSet,
    state: GearState,
    guess: Floats,
    low: Floats,
    over_root: float,
    outside: float,
    vents: Floats,
) -> None:
    """What distributors in emergency let out of the pipe, as conductances from the pressure itself."""
    for k in range(gear.place.size):
        i = gear.place[k]
        vents[k] = 0.0
        if state.mode[k] == EMERGENCY and settings.brakes[0, k] == 0.0:
            psi = psi_of(outside / guess[i])
            vents[k] = gear.brakes[10, k] * psi * over_root
            low[i] += vents[k]


@bare
def take_emergency(gear: GearArrays, vents: Floats, p: Floats, drawn: Floats, lane: Floats, short: float) -> None:
    """The same at the new pressures, into branches and tally."""
    for k in range(gear.place.size):
        i = gear.place[k]
        out = vents[k] * p[i]
        drawn[i] += out
        lane[OUT, 0] += short * out


@bare
def _automatic_target(gear: GearArrays, state: GearState, k: int, pipe: float, store: float, outside: float) -> float:
    """Where the automatic circuit's cylinder pressure goes [Pa, gauge]."""
    if state.mode[k] == RELEASED:
        return 0.0
    if gear.brakes[0, k] > 0.0:
        auto, cylinder, volume = state.auto[k], gear.brakes[9, k], gear.vessels[0, gear.store[k]]
        until_level = auto + max(0.0, store - pipe) * volume / cylinder
        equal = (store * volume + (auto + outside) * cylinder) / (volume + cylinder) - outside
        return float(max(auto, min(until_level, equal, gear.brakes[5, k])))
    target = gear.brakes[3, k] * (state.level[gear.chamber[k]] - pipe)
    return float(max(0.0, min(max(target, gear.brakes[4, k]), gear.brakes[5, k], store - outside)))


@bare
def _electric_after(
    gear: GearArrays, settings: GearSet, k: int, had: float, limit: float, dt: float
) -> tuple[float, float]:  # fmt: skip
    """The electro-pneumatic circuit after a step: it fills with the application wire and empties without the holding wire.

    Also what blew off meanwhile and was made up [Pa]: with the one wire and without the other it does both at a time.
    """
    most = min(gear.brakes[13, k], limit)
    off = settings.brakes[0, k] > 0.0  # isolated: it heeds no wire and empties
    fill = gear.brakes[14, k] if settings.brakes[1, k] > 0.0 and not off else 0.0
    empty = 0.0 if settings.brakes[2, k] > 0.0 and not off else gear.brakes[15, k]
    if fill + empty <= 0.0:
        return min(had, max(limit, 0.0)), 0.0
    to = fill * most / (fill + empty)
    gone = 1.0 - exp(-(fill + empty) * dt)
    through = empty * (to * dt + (had - to) * gone / (fill + empty)) if fill > 0.0 else 0.0
    return max(0.0, had + (to - had) * gone), max(0.0, through)


@bare
def _followed(gear: GearArrays, k: int, had: float, start: float, target: float, dt: float) -> float:
    """A cylinder's pressure after a step in which its target runs straight; up to the knee of the first step it is quick."""
    knee, left = 0.95 * gear.brakes[4, k], dt
    rate = gear.brakes[7, k] if target > had else gear.brakes[8, k]
    if target > knee > had:
        quick = gear.brakes[6, k]
        reached = log((target - had) / (target - knee)) / quick
        if reached >= dt:
            return float(target - (target - had) * exp(-quick * dt))
        had, left, start = knee, dt - reached, target
    behind = (target - start) / (left * rate)
    return float(target - behind + (had - start + behind) * exp(-left * rate))


@bare
def take_cylinders(
    gear: GearArrays,
    settings: GearSet,
    state: GearState,
    p: Floats,
    lane: Floats,
    dt: float,
    over_root: float,
) -> None:
    """Both circuits of every cylinder after a step, exactly for targets that run straight; what they take from the reservoir,
    what leaks away or blows off meanwhile included.

    What is taken leaves the level before as well: a step of second order would else weigh it, and lose or make air.
    """
    outside = lane[OUTSIDE, 0]
    for k in range(gear.place.size):
        i, s = gear.place[k], gear.store[k]
        store = state.level[s]
        limit = store - outside
        auto, electric, size = state.auto[k], state.electric[k], gear.brakes[9, k]
        had = max(auto, electric)
        target = 0.0 if settings.brakes[0, k] > 0.0 else _automatic_target(gear, state, k, p[i], store, outside)
        start = state.aim[k] if gear.brakes[0, k] == 0.0 and state.aim[k] > 0.0 else target
        auto = min(max(_followed(gear, k, auto, start, target, dt), 0.0), max(limit, 0.0))
        electric, through = _electric_after(gear, settings, k, electric, limit, dt)
        taken = max(0.0, max(auto, electric) - had) + (through if electric >= auto else 0.0)
        leak = settings.brakes[3, k] * CHOKED_COEFFICIENT * over_root / size
        if leak > 0.0:
            gone = exp(-leak * dt)
            auto = max(0.0, (auto + outside) * gone - outside)
            electric = max(0.0, (electric + outside) * gone - outside)
        state.auto[k], state.electric[k], state.aim[k] = auto, electric, target
        fall = taken * size / gear.vessels[0, s]
        state.level[s] -= fall
        state.before[s] -= fall
        lane[SPENT, 0] += taken * size
        lane[SPENT1, 0] += taken * size
