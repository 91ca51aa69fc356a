"""Compiled stand-in brakes of the fast solver, as comparisons of air engines have them: chamber, reservoir, cylinder and leak.

They work over flat arrays, the lanes of a brake side by side, with selections instead of branches, so that it is done several
lanes at a time. Source: textbook forms (closed form).
"""

from __future__ import annotations

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_nozzle import LEAST_DROP_PA, psi_and_slope
from headstock.physics.pipe_network import ATMOSPHERE_PA


@kernel
def gather(source: Floats, cells: Ints, rows: Floats) -> None:
    """Rows of some cells; one lane goes without the loop over lanes, whose preparation would cost more than its work."""
    if source.shape[1] == 1:
        for k in range(cells.size):
            rows[k, 0] = source[cells[k], 0]
        return
    for k in range(cells.size):
        i = cells[k]
        for w in range(source.shape[1]):
            rows[k, w] = source[i, w]


@kernel
def scatter(rows: Floats, cells: Ints, target: Floats) -> None:
    """Rows added to those of some cells."""
    if target.shape[1] == 1:
        for k in range(cells.size):
            target[cells[k], 0] += rows[k, 0]
        return
    for k in range(cells.size):
        i = cells[k]
        for w in range(target.shape[1]):
            target[i, w] += rows[k, w]


@kernel
def choke_lines(
    choke: Floats, over_volume: Floats, here: Floats, over: Floats, seen: Floats, held: Floats, short_rt: float, over_root: float,
    conduct: Floats, more_low: Floats, more_high: Floats,
) -> None:  # fmt: skip
    """Vessels behind chokes and check valves: conductances to what they held, their own filling put in; flat arrays."""
    for j in range(choke.size):
        drop = here[j] - seen[j]
        psi, _ = psi_and_slope(seen[j] * over[j])
        floor = drop if drop > LEAST_DROP_PA else LEAST_DROP_PA
        flow = choke[j] * here[j] * psi * over_root
        g = flow / (floor + flow * short_rt * over_volume[j])
        g = g if drop > 0.0 else 0.0
        conduct[j] = g
        more_low[j] += g
        more_high[j] += g * held[j]


@kernel
def leak_lines(leak: Floats, over: Floats, over_root: float, conduct: Floats, more_low: Floats) -> None:
    """Leaks to the atmosphere as conductances from the pressure itself; flat arrays."""
    for j in range(leak.size):
        psi, _ = psi_and_slope(ATMOSPHERE_PA * over[j])
        g = leak[j] * psi * over_root
        conduct[j] = g
        more_low[j] = g


@kernel
def _decay(x: float) -> float:
    """exp(-x) for x >= 0 without a call: a polynomial at a sixteenth, squared four times; 1e-7 off up to x = 2."""
    t = x * 0.0625
    e = 1.0 + t * (1.0 + t * (0.5 + t * (1.0 / 6.0 + t * (1.0 / 24.0 + t * (1.0 / 120.0 + t * (1.0 / 720.0))))))
    e = e * e
    e = e * e
    e = e * e
    return 1.0 / (e * e)


@kernel
def vessel_steps(
    here: Floats, fill: Floats, store: Floats, leaks: Floats, held: Floats, held_store: Floats, guess_store: Floats,
    over_chamber: Floats, over_store: Floats, gain: Floats, most: Floats, fills: Floats, releases: Floats, volume: Floats,
    fed: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, aim: Floats, drawn: Floats, leaked: Floats,
    spent: Floats, miss: Floats,
    dt: float, short: float, over_alpha: float, rt: float, over_rt: float,
) -> float:  # fmt: skip
    """Vessels and cylinders after the pressures; what they draw; the greatest miss of a reservoir [Pa]; flat arrays."""
    for j in range(here.size):
        p = here[j]
        flow = fill[j] * (p - held[j])
        kept = held[j] + flow * short * rt * over_chamber[j]
        chamber[j] = kept
        taken = store[j] * (p - held_store[j])
        stored = held_store[j] + taken * short * rt * over_store[j]
        leak = leaks[j] * p
        drawn[j] = flow + taken + leak
        leaked[j] = leak
        target = gain[j] * (kept - p)
        target = target if target < most[j] else most[j]
        limit = stored - ATMOSPHERE_PA
        target = target if target < limit else limit
        target = target if target > 0.0 else 0.0
        # Exact for a target that runs straight from where it was to where it is.
        old, rate = cylinder[j], fills[j] if target > cylinder[j] else releases[j]
        behind = (target - aim[j]) / (dt * rate)
        new = target - behind + (old - aim[j] + behind) * _decay(dt * rate)
        new = new if new < limit else limit
        new = new if new > 0.0 else 0.0
        aim[j] = target
        rise = (new - old) * over_alpha
        rise = rise if rise > 0.0 else 0.0
        cylinder[j] = new
        reservoir[j] = stored - rise * volume[j] * over_store[j]
        spent[j] = rise * volume[j] * fed[j] * over_rt
    lanes = miss.size
    for w in range(lanes):
        miss[w] = 0.0
    for k in range(here.size // lanes):
        for w in range(lanes):
            off = abs(reservoir[k * lanes + w] - guess_store[k * lanes + w])
            miss[w] = off if off > miss[w] else miss[w]
    worst = 0.0
    for w in range(lanes):
        worst = max(worst, miss[w])
    return worst


@kernel
def tally_brakes(leaked: Floats, spent: Floats, short: float, tally: Floats) -> None:
    """What brakes let out and put into cylinders."""
    if tally.shape[1] == 1:
        out, gone = 0.0, 0.0
        for k in range(leaked.shape[0]):
            out += leaked[k, 0]
            gone += spent[k, 0]
        tally[1, 0] += short * out
        tally[2, 0] += gone
        return
    for k in range(leaked.shape[0]):
        for w in range(tally.shape[1]):
            tally[1, w] += short * leaked[k, w]
            tally[2, w] += spent[k, w]


@kernel
def targets(p: Floats, brake_cell: Ints, brakes: Floats, chamber: Floats, reservoir: Floats) -> Floats:
    """What each cylinder goes to at the pressures of now [Pa, gauge]; flat."""
    count, lanes = chamber.shape
    found = np.empty(count * lanes)
    for k in range(count):
        for w in range(lanes):
            target = brakes[7, k, w] * (chamber[k, w] - p[brake_cell[k], w])
            target = min(target, brakes[8, k, w], reservoir[k, w] - ATMOSPHERE_PA)
            found[k * lanes + w] = max(target, 0.0)
    return found
