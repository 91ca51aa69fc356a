"""Compiled stepping of the fast solver: a few cells a vehicle, many scenarios (lanes) side by side, isothermal.

Pressures sit in cells, flows on the faces between them. Each step is one implicit solve: flows linearised about the
extrapolated state are put into the cells' mass balance, which leaves a symmetric tridiagonal system per lane; then flows,
vessels and cylinders follow. Second order in time by the variable-step backward difference formula (first order after an event),
the step chosen from how far the new pressures miss the extrapolated ones. Lanes share the step.

Source: textbook forms (closed form). Arrays are [place][lane], the lane contiguous.
"""

from __future__ import annotations

from math import sqrt

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_brakes import choke_lines, gather, leak_lines, scatter, tally_brakes, targets, vessel_steps
from headstock.physics.fast_cells import (
    cell_rows,
    extrapolate,
    extrapolate_pressures,
    face_lines,
    furthest,
    gate_row,
    gates_that,
    new_flows,
    push,
    shift,
)
from headstock.physics.fast_distributors import (
    JUST_BEHIND_S,
    earliest_turn,
    emergency_lines,
    take_cylinders,
    take_emergency,
    turn_distributors,
)
from headstock.physics.fast_feeds import draw_feeds, fed_lines, supplies, take_feeds
from headstock.physics.fast_gear import GearArrays, GearSet, GearState, GearWork
from headstock.physics.fast_readings import sample
from headstock.physics.fast_sweeps import sweeps
from headstock.physics.fast_valves import add_ports, port_lines, ports_at, ports_live, ports_missed, through_ports
from headstock.physics.fast_vessels import take_vessels, turn_governors, vessel_lines, vessels_after

ENDED, ROWS_FULL, BROKEN = 1, 2, 3
GROWTH, SHRINK, LONGEST_STEP_S = 1.4, 0.4, 2.0
TURNS, SETTLED = 3, 0.2
"""How often valves are looked at in one step at most, and the share of the tolerance by which they may be missed."""
SHORTEST_SHARE = 0.002
"""Of the first step: where a pressure comes out as none, steps get as short as that."""
TOO_FAR = 16.0
"""A step whose pressures miss the extrapolated ones by so many tolerances is taken again, shorter."""


@kernel
def march_fast(
    p: Floats, q: Floats, chamber: Floats, reservoir: Floats, cylinder: Floats, tally: Floats, p1: Floats, q1: Floats,
    chamber1: Floats, reservoir1: Floats, tally1: Floats, clock: Floats, until_s: float, first_s: float, tolerance_pa: float,
    cap: Floats, pull: Floats, slim: Floats, area: Floats, reynolds: Floats, wall: Floats, loss: Floats, momentum: Floats,
    branch: Floats, half: Floats, fit: Floats, gate_face: Ints, gate_area: Floats, vent_cell: Ints, vents: Floats,
    brake_cell: Ints, brakes: Floats, front: Floats, rear: Floats, valve_cell: Ints, valves: Floats, rt: float, drawn: Floats,
    gear: GearArrays, gear_set: GearSet, gear_state: GearState, gear_work: GearWork, probes: Ints, times: Floats,
    readings: Floats,
) -> tuple[int, int]:  # fmt: skip
    """Steps from ``clock[0]`` until a time [s]; returns why it stopped and how many rows of readings it wrote.

    State, changed in place: pressures ``p`` (n, lanes), flows ``q`` (n + 1, lanes), vessels (brakes, lanes), ``tally`` (fed,
    let out, to cylinders; lanes), each with its level before (``p1`` and so on); ``clock``: time, step to come, last step (0:
    first order next), steps so far. ``drawn``: what branches drew in the last step [kg/s] (n, lanes).
    """
    n, lanes = p.shape
    count = brake_cell.size
    whole, stop = n * lanes, (n - 1) * lanes
    over_root = 1.0 / sqrt(rt)
    cell = np.empty((9, n, lanes))
    guess, late_p, over, pushed, low, high, new, work_low, work_high = (
        cell[0], cell[1], cell[2], cell[3], cell[4], cell[5], cell[6], cell[7], cell[8])  # fmt: skip
    vent_lines, vent_low = np.zeros(vents.shape), np.zeros(lanes)
    flows, late_q = np.empty((n + 1, lanes)), np.empty((n + 1, lanes))
    a, b, extra = np.zeros((n + 1, lanes)), np.zeros((n + 1, lanes)), np.zeros((n + 1, lanes))
    side = np.zeros((14, count, lanes))
    here, inverse, seen, held, seen_store, held_store = side[0], side[1], side[2], side[3], side[4], side[5]
    more_low, more_high, fill, store, leaks = side[6], side[7], side[8], side[9], side[10]
    taken, leaked, spent = side[11], side[12], side[13]
    sums, held_sums, miss, wrong = np.empty((3, lanes)), np.empty((3, lanes)), np.empty(lanes), np.empty(lanes)
    ports = valve_cell.size + 2
    port_slope, port_flow, port_at = np.zeros((ports, lanes)), np.zeros((ports, lanes)), np.zeros((ports, lanes))
    # Flat views, made once: the stretch of faces between cells, each with the cells before and behind it.
    p_, q_, p1_, q1_, guess_, late_p_ = p.ravel(), q.ravel(), p1.ravel(), q1.ravel(), guess.ravel(), late_p.ravel()
    over_, pushed_, low_, high_, new_, drawn_ = (
        over.ravel(),
        pushed.ravel(),
        low.ravel(),
        high.ravel(),
        new.ravel(),
        drawn.ravel(),
    )
    flows_, late_q_, a_, b_, extra_ = flows.ravel(), late_q.ravel(), a.ravel(), b.ravel(), extra.ravel()
    flows_in, flows_l, flows_r, late_in, extra_in = (
        flows_[lanes:whole],
        flows_[:whole],
        flows_[lanes:],
        late_q_[lanes:whole],
        extra_[lanes:whole],
    )
    over_l, over_r, drawn_l, drawn_r = over_[:stop], over_[lanes:], drawn_[:stop], drawn_[lanes:]
    push_l, push_r, new_l, new_r, q_in = pushed_[:stop], pushed_[lanes:], new_[:stop], new_[lanes:], q_[lanes:whole]
    a_in, b_in, a_l, a_r, b_l, b_r = a_[lanes:whole], b_[lanes:whole], a_[:whole], a_[lanes:], b_[:whole], b_[lanes:]
    re_in, wall_in, loss_in, branch_in = (
        reynolds.ravel()[lanes:whole],
        wall.ravel()[lanes:whole],
        loss.ravel()[lanes:whole],
        branch.ravel()[lanes:whole],
    )
    pull_in, slim_in, momentum_, cap_ = pull.ravel()[lanes:whole], slim.ravel()[lanes:whole], momentum.ravel(), cap.ravel()
    fit0, fit1, fit2, fit3 = (
        fit[0].ravel()[lanes:whole],
        fit[1].ravel()[lanes:whole],
        fit[2].ravel()[lanes:whole],
        fit[3].ravel()[lanes:whole],
    )
    here_, inverse_, seen_, held_, seen_store_, held_store_ = (
        here.ravel(),
        inverse.ravel(),
        seen.ravel(),
        held.ravel(),
        seen_store.ravel(),
        held_store.ravel(),
    )
    more_low_, more_high_, fill_, store_, leaks_ = more_low.ravel(), more_high.ravel(), fill.ravel(), store.ravel(), leaks.ravel()
    taken_, leaked_, spent_ = taken.ravel(), leaked.ravel(), spent.ravel()
    chamber_, chamber1_, reservoir_, reservoir1_, cylinder_ = (
        chamber.ravel(),
        chamber1.ravel(),
        reservoir.ravel(),
        reservoir1.ravel(),
        cylinder.ravel(),
    )
    choke_c, choke_r, area_leak, gain_, most_, fills, releases, volume, fed, over_c, over_r_ = (
        brakes[1].ravel(), brakes[3].ravel(), brakes[5].ravel(), brakes[7].ravel(), brakes[8].ravel(),
        brakes[9].ravel(), brakes[10].ravel(), brakes[6].ravel(), brakes[4].ravel(), brakes[11].ravel(),
        brakes[12].ravel())  # fmt: skip
    tally_, tally1_, sums_, held_sums_ = tally.ravel(), tally1.ravel(), sums.ravel(), held_sums.ravel()
    narrow, shut = gates_that(gate_area, False), gates_that(gate_area, True)
    live = ports_live(front, rear, valves)
    m, geared, braked = gear.split, gear.cell.size > 0, gear.place.size > 0
    behind, gives, room = np.zeros((gear.feed.size, lanes)), np.zeros((gear.feed.size, lanes)), np.zeros((5, n - m, lanes))
    blown = np.zeros((gear.place.size, lanes))
    aim_ = targets(p, brake_cell, brakes, chamber, reservoir)
    written = 0
    while clock[0] < until_s:
        left = until_s - clock[0]
        dt = clock[1]
        last = dt >= left * (1.0 - 1e-12)
        if last:
            dt = left
        elif 2.0 * dt > left:
            dt = 0.5 * left
        ratio = dt / clock[2] if clock[2] > 0.0 else 0.0
        alpha = (1.0 + 2.0 * ratio) / (1.0 + ratio)
        now, before = (1.0 + ratio) / alpha, ratio * ratio / (1.0 + ratio) / alpha
        short = dt / alpha
        extrapolate_pressures(p_, p1_, ratio, now, before, guess_, late_p_, over_)
        extrapolate(q_, q1_, ratio, now, before, flows_, late_q_)
        extrapolate(chamber_, chamber1_, ratio, now, before, seen_, held_)
        extrapolate(reservoir_, reservoir1_, ratio, now, before, seen_store_, held_store_)
        push(flows_l, flows_r, momentum_, over_, 1.0 / over_root, pushed_)
        for g in narrow:
            f = gate_face[g]
            gate_row(gate_area[g], guess[f - 1], guess[f], flows[f], pull[f], rt, extra[f])
        face_lines(flows_in, over_l, over_r, re_in, wall_in, loss_in, branch_in, drawn_l, drawn_r, push_l, push_r, pull_in,
               slim_in,
               extra_in, late_in, fit0, fit1, fit2, fit3, short, a_in, b_in)  # fmt: skip
        for g in shut:
            f = gate_face[g]
            for w in range(lanes):
                if gate_area[g, w] == 0.0:
                    a[f, w] = 0.0
                    b[f, w] = 0.0
        cell_rows(cap_, late_p_, b_l, b_r, a_l, a_r, 1.0 / short, low_, high_)
        gather(guess, brake_cell, here)
        gather(over, brake_cell, inverse)
        for j in range(more_high_.size):
            more_high_[j] = 0.0
        for v in range(vent_cell.size):
            i = vent_cell[v]
            leak_lines(vents[v], over[i], over_root, vent_lines[v], vent_low)
            for w in range(lanes):
                low[i, w] += vent_low[w]
        leak_lines(area_leak, inverse_, over_root, leaks_, more_low_)
        choke_lines(choke_c, over_c, here_, inverse_, seen_, held_, short * rt, over_root, fill_, more_low_, more_high_)
        choke_lines(
            choke_r, over_r_, here_, inverse_, seen_store_, held_store_, short * rt, over_root, store_, more_low_, more_high_
        )
        scatter(more_low, brake_cell, low)
        scatter(more_high, brake_cell, high)
        if geared:
            extrapolate(gear_state.level.ravel(), gear_state.before.ravel(), ratio, now, before, gear_work.seen.ravel(),
                        gear_work.held.ravel())  # fmt: skip
            vessel_lines(gear, gear_set, gear_state, gear_work, guess, low, high, short, over_root)
            emergency_lines(gear, gear_set, gear_state, guess, low, over_root, blown)
        if m < n:
            supplies(gear, valves, low, high, b, behind, gives, room)
        ports_at(guess, valve_cell, port_at)
        error = 0.0
        for turn in range(TURNS):
            port_lines(front, rear, valves, live, port_at, half, flows, area, turn, rt, over_root, port_slope, port_flow, miss)
            if m < n:
                fed_lines(gear, valves, port_at, behind, gives, over_root, port_slope, port_flow)
            add_ports(valve_cell, live, 1.0, port_slope, port_flow, low, high)
            if m == n:
                sweeps(low, high, b, work_low, work_high, new)
            else:
                sweeps(low[:m], high[:m], b, work_low[:m], work_high[:m], new[:m])
                draw_feeds(gear, valve_cell, 1.0, port_slope, port_flow, new, high)
                sweeps(low[m:], high[m:], b[m:], work_low[m:], work_high[m:], new[m:])
            error = furthest(new, guess, miss, wrong)
            if error < 0.0 or not ports_missed(
                front, rear, valves, live, valve_cell, new, half, area, rt, over_root, port_slope, port_flow, cap, short, port_at,
                SETTLED * tolerance_pa, sums, wrong,
            ):  # fmt: skip
                break
            if m < n:
                draw_feeds(gear, valve_cell, -1.0, port_slope, port_flow, new, high)
            add_ports(valve_cell, live, -1.0, port_slope, port_flow, low, high)
        if geared and error >= 0.0:
            error = max(error, vessels_after(gear, gear_work, new))
        if (error < 0.0 or error > TOO_FAR * tolerance_pa) and dt > 1.001 * first_s:
            clock[1] = max(first_s, SHRINK * dt)  # nothing has been changed yet: again, shorter
            continue
        if error < 0.0 and dt > SHORTEST_SHARE * first_s:
            clock[1] = 0.25 * dt  # a front too strong for the line that the flows are taken as
            continue
        if error < 0.0:
            return BROKEN, written
        if braked and dt > 4.0 * JUST_BEHIND_S:
            part = earliest_turn(gear, gear_set, gear_state, gear_work, p, new)
            if part * dt + JUST_BEHIND_S < 0.9 * dt:
                clock[1] = part * dt + JUST_BEHIND_S
                continue
        extrapolate(tally_, tally1_, ratio, now, before, sums_, held_sums_)
        shift(new_, p_, p1_)
        for j in range(whole):
            drawn_[j] = 0.0
        for w in range(lanes):
            q1[0, w], q1[n, w] = q[0, w], q[n, w]
        new_flows(a_in, b_in, new_l, new_r, q_in, q1_[lanes:whole])
        for j in range(tally_.size):
            tally1_[j] = tally_[j]
            tally_[j] = held_sums_[j]
        through_ports(valve_cell, live, port_slope, port_flow, p, q, drawn, tally, short)
        if m < n:
            take_feeds(gear, valve_cell, port_slope, port_flow, p, drawn, tally, short)
        if geared:
            take_vessels(gear, gear_state, gear_work, p, drawn, tally, short)
            take_emergency(gear, blown, p, drawn, tally, short)
            take_cylinders(gear, gear_set, gear_state, p, tally, dt, 1.0 / alpha, over_root)
        for v in range(vent_cell.size):
            i = vent_cell[v]
            for w in range(lanes):
                out = vent_lines[v, w] * p[i, w]
                drawn[i, w] += out
                tally[1, w] += short * out
        gather(p, brake_cell, here)
        for j in range(chamber_.size):
            chamber1_[j] = chamber_[j]
            reservoir1_[j] = reservoir_[j]
        missed = vessel_steps(
            here_, fill_, store_, leaks_, held_, held_store_, seen_store_, over_c, over_r_, gain_, most_, fills, releases, volume,
            fed,
            chamber_, reservoir_, cylinder_, aim_, taken_, leaked_, spent_, miss, dt, short,
            1.0 / alpha, rt, 1.0 / rt,
        )  # fmt: skip
        scatter(taken, brake_cell, drawn)
        tally_brakes(leaked, spent, short, tally)
        error = max(error, missed)
        clock[0] = until_s if last else clock[0] + dt
        clock[2] = dt
        clock[3] += 1.0
        wish = min(GROWTH, max(SHRINK, sqrt(tolerance_pa / max(error, 1e-3))))
        clock[1] = min(LONGEST_STEP_S, max(min(first_s, GROWTH * dt), dt * wish))
        if geared:
            turned = turn_distributors(gear, gear_set, gear_state, p)
            if turn_governors(gear, gear_set, gear_state) or turned:
                clock[1], clock[2] = first_s, 0.0
        if times.size > 0:
            times[written] = clock[0]
            sample(probes, p, q, half, chamber, reservoir, cylinder, gear_state, readings[written])
            written += 1
            if written == times.size and clock[0] < until_s:
                return ROWS_FULL, written
    return ENDED, written
