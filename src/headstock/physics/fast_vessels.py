"""Compiled vessels of the fast solver: each put into its cell's balance with the same step, so that any volume is stable.

One lane.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.distributor import RELEASED
from headstock.physics.fast_gear import ALWAYS, NONE, GearArrays, GearSet, GearState, GearWork
from headstock.physics.fast_layout import FED, OUT
from headstock.physics.fast_nozzle import LEAST_DROP_PA, psi_of

SLACK_PA = 50.0
"""A second place feeds only while its pressure is this much higher."""


@bare
def _is_open(gear: GearArrays, settings: GearSet, state: GearState, v: int) -> bool:
    """Whether a vessel's distributor lets the pipe into it."""
    k = gear.master[v]
    if k == NONE:
        return True
    if settings.brakes[0, k] > 0.0:
        return False
    if gear.opens[v] == ALWAYS:
        return True
    return bool((state.mode[k] == RELEASED) == (gear.opens[v] == RELEASED))


@bare
def _vent_m2(gear: GearArrays, settings: GearSet, state: GearState, v: int) -> float:
    """What is open from a vessel to the atmosphere."""
    area = gear.vessels[5, v] + settings.vessels[1, v]
    k = gear.master[v]
    if k != NONE and (state.mode[k] == RELEASED or settings.brakes[0, k] > 0.0):
        area += gear.vessels[4, v]
    return float(area + gear.vessels[9, v] * state.blowing[v])


@bare
def vessel_lines(
    gear: GearArrays, settings: GearSet, state: GearState, work: GearWork, guess: Floats, low: Floats, high: Floats, short: float,
    over_root: float, outside: float,
) -> None:  # fmt: skip
    """Every vessel as a conductance to what it will hold, its own filling put in; into the balances of its cell."""
    for v in range(gear.cell.size):
        i, j = gear.cell[v], gear.second[v]
        here, area, both = guess[i], gear.vessels[1, v], gear.vessels[2, v] > 0.0
        turned = j != NONE and guess[j] > here + SLACK_PA
        if turned:
            here, area, both = guess[j], gear.vessels[3, v], False
        work.turned[v] = 1.0 if turned else 0.0
        seen = max(work.seen[v], 1.0)
        drop = here - seen
        g = 0.0
        if (drop > 0.0 or both) and _is_open(gear, settings, state, v):
            up = max(here, seen)
            psi = psi_of(min(here, seen) / up)
            g = area * settings.vessels[0, v] * up * psi * over_root / max(abs(drop), LEAST_DROP_PA)
        psi = psi_of(outside / seen)
        out = _vent_m2(gear, settings, state, v) * psi * over_root
        hold = gear.vessels[0, v] / short
        put = hold * work.held[v] + gear.vessels[6, v] * state.running[v]
        bottom = hold + g + out
        work.conduct[v], work.bottom[v], work.top[v], work.vent[v] = g, bottom, put, out
        cell = j if turned else i
        low[cell] += g * (1.0 - g / bottom)
        high[cell] += g * put / bottom


@bare
def vessels_after(gear: GearArrays, work: GearWork, new: Floats) -> float:
    """What the vessels hold at the new pressures; the greatest miss of what was extrapolated, bulbs and the like aside [Pa]."""
    worst = 0.0
    for v in range(gear.cell.size):
        cell = gear.second[v] if work.turned[v] > 0.0 else gear.cell[v]
        level = (work.top[v] + work.conduct[v] * new[cell]) / work.bottom[v]
        work.new[v] = level
        if gear.master[v] == NONE or gear.opens[v] != 1:
            worst = max(worst, abs(level - work.seen[v]))
    return worst


@bare
def take_vessels(
    gear: GearArrays, state: GearState, work: GearWork, p: Floats, drawn: Floats, lane: Floats, short: float
) -> None:
    """The new levels in, the last ones kept; what was drawn, let out and put in, into branches and tally."""
    for v in range(gear.cell.size):
        cell = gear.second[v] if work.turned[v] > 0.0 else gear.cell[v]
        level = work.new[v]
        drawn[cell] += work.conduct[v] * (p[cell] - level)
        lane[FED, 0] += short * gear.vessels[6, v] * state.running[v]
        lane[OUT, 0] += short * work.vent[v] * level
        state.before[v] = state.level[v]
        state.level[v] = level


@bare
def turn_governors(gear: GearArrays, settings: GearSet, state: GearState) -> bool:
    """Compressors and safety valves at the end of a step; whether one changed."""
    changed = False
    for v in range(gear.cell.size):
        if gear.vessels[6, v] <= 0.0 and gear.vessels[9, v] <= 0.0:
            continue
        level, runs, blows = state.level[v], state.running[v], state.blowing[v]
        may = settings.vessels[2, v] > 0.0
        now = may and (level < gear.vessels[7, v] or (runs > 0.0 and level < gear.vessels[8, v]))
        lets = level > gear.vessels[10, v] or (blows > 0.0 and level > gear.vessels[11, v])
        state.running[v], state.blowing[v] = 1.0 if now else 0.0, 1.0 if lets else 0.0
        changed = changed or state.running[v] != runs or state.blowing[v] != blows
    return changed
