"""Compiled vessels of the fast solver: each put into its cell's balance with the same step, so that any volume is stable.

Arrays are [vessel][lane]. Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats
from headstock.physics.distributor import RELEASED
from headstock.physics.fast_gear import ALWAYS, NONE, GearArrays, GearSet, GearState, GearWork
from headstock.physics.fast_nozzle import LEAST_DROP_PA, psi_and_slope
from headstock.physics.pipe_network import ATMOSPHERE_PA

SLACK_PA = 50.0
"""A second place feeds only while its pressure is this much higher."""


@kernel
def _is_open(gear: GearArrays, settings: GearSet, state: GearState, v: int, w: int) -> bool:
    """Whether a vessel's distributor lets the pipe into it."""
    k = gear.master[v]
    if k == NONE:
        return True
    if settings.brakes[0, k, w] > 0.0:
        return False
    if gear.opens[v] == ALWAYS:
        return True
    return bool((state.mode[k, w] == RELEASED) == (gear.opens[v] == RELEASED))


@kernel
def _vent_m2(gear: GearArrays, settings: GearSet, state: GearState, v: int, w: int) -> float:
    """What is open from a vessel to the atmosphere."""
    area = gear.vessels[5, v, w] + settings.vessels[1, v, w]
    k = gear.master[v]
    if k != NONE and (state.mode[k, w] == RELEASED or settings.brakes[0, k, w] > 0.0):
        area += gear.vessels[4, v, w]
    return float(area + gear.vessels[9, v, w] * state.blowing[v, w])


@kernel
def vessel_lines(
    gear: GearArrays, settings: GearSet, state: GearState, work: GearWork, guess: Floats, low: Floats, high: Floats, short: float,
    over_root: float,
) -> None:  # fmt: skip
    """Every vessel as a conductance to what it will hold, its own filling put in; into the balances of its cell."""
    for v in range(gear.cell.size):
        i, j = gear.cell[v], gear.second[v]
        for w in range(guess.shape[1]):
            here, area, both = guess[i, w], gear.vessels[1, v, w], gear.vessels[2, v, w] > 0.0
            turned = j != NONE and guess[j, w] > here + SLACK_PA
            if turned:
                here, area, both = guess[j, w], gear.vessels[3, v, w], False
            work.turned[v, w] = 1.0 if turned else 0.0
            seen = max(work.seen[v, w], 1.0)
            drop = here - seen
            g = 0.0
            if (drop > 0.0 or both) and _is_open(gear, settings, state, v, w):
                up = max(here, seen)
                psi, _ = psi_and_slope(min(here, seen) / up)
                g = area * settings.vessels[0, v, w] * up * psi * over_root / max(abs(drop), LEAST_DROP_PA)
            psi, _ = psi_and_slope(ATMOSPHERE_PA / seen)
            out = _vent_m2(gear, settings, state, v, w) * psi * over_root
            hold = gear.vessels[0, v, w] / short
            put = hold * work.held[v, w] + gear.vessels[6, v, w] * state.running[v, w]
            bottom = hold + g + out
            work.conduct[v, w], work.bottom[v, w], work.top[v, w], work.vent[v, w] = g, bottom, put, out
            cell = j if turned else i
            low[cell, w] += g * (1.0 - g / bottom)
            high[cell, w] += g * put / bottom


@kernel
def vessels_after(gear: GearArrays, work: GearWork, new: Floats) -> float:
    """What the vessels hold at the new pressures; the greatest miss of what was extrapolated, bulbs and the like aside [Pa]."""
    worst = 0.0
    for v in range(gear.cell.size):
        for w in range(new.shape[1]):
            cell = gear.second[v] if work.turned[v, w] > 0.0 else gear.cell[v]
            level = (work.top[v, w] + work.conduct[v, w] * new[cell, w]) / work.bottom[v, w]
            work.new[v, w] = level
            if gear.master[v] == NONE or gear.opens[v] != 1:
                worst = max(worst, abs(level - work.seen[v, w]))
    return worst


@kernel
def take_vessels(
    gear: GearArrays, state: GearState, work: GearWork, p: Floats, drawn: Floats, tally: Floats, short: float
) -> None:
    """The new levels in, the last ones kept; what was drawn, let out and put in, into branches and tally."""
    for v in range(gear.cell.size):
        for w in range(p.shape[1]):
            cell = gear.second[v] if work.turned[v, w] > 0.0 else gear.cell[v]
            level = work.new[v, w]
            drawn[cell, w] += work.conduct[v, w] * (p[cell, w] - level)
            tally[0, w] += short * gear.vessels[6, v, w] * state.running[v, w]
            tally[1, w] += short * work.vent[v, w] * level
            state.before[v, w] = state.level[v, w]
            state.level[v, w] = level


@kernel
def turn_governors(gear: GearArrays, settings: GearSet, state: GearState) -> bool:
    """Compressors and safety valves at the end of a step; whether one changed."""
    changed = False
    for v in range(gear.cell.size):
        if gear.vessels[6, v, 0] <= 0.0 and gear.vessels[9, v, 0] <= 0.0:
            continue
        for w in range(state.level.shape[1]):
            level, runs, blows = state.level[v, w], state.running[v, w], state.blowing[v, w]
            may = settings.vessels[2, v, w] > 0.0
            now = may and (level < gear.vessels[7, v, w] or (runs > 0.0 and level < gear.vessels[8, v, w]))
            lets = level > gear.vessels[10, v, w] or (blows > 0.0 and level > gear.vessels[11, v, w])
            state.running[v, w], state.blowing[v, w] = 1.0 if now else 0.0, 1.0 if lets else 0.0
            changed = changed or state.running[v, w] != runs or state.blowing[v, w] != blows
    return changed
