"""Compiled stepping of the fast solver: a few cells a vehicle, isothermal, one lane (scenario) by its own clock.

Pressures sit in cells, flows on the faces between them. Each step is one implicit solve: flows linearised about the
extrapolated state are put into the cells' mass balance, which leaves a symmetric tridiagonal system; then flows, vessels and
cylinders follow. Second order in time by the variable-step backward difference formula (first order after an event), the step
chosen from how far the new pressures miss the extrapolated ones. Changes of settings are met on the way.

Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import WIDTH, eight, store
from headstock.physics.fast_brakes import brake_lines, first_targets, take_brakes
from headstock.physics.fast_cells import cell_rows, face_lines, furthest, look_ahead, take_pipe
from headstock.physics.fast_changes import Changes, bring
from headstock.physics.fast_distributors import (
    JUST_BEHIND_S,
    earliest_turn,
    emergency_lines,
    take_cylinders,
    take_emergency,
    turn_distributors,
)
from headstock.physics.fast_feeds import draw_feeds, fed_lines, supplies, take_feeds
from headstock.physics.fast_gates import gate_drags, gates_special, shut_gates, take_vents, vent_lines
from headstock.physics.fast_gear import GearArrays, GearSet, GearState, GearWork
from headstock.physics.fast_layout import (
    DRAWN,
    ERROR,
    FED,
    FED1,
    GUESS,
    HIGH,
    LAST_DT,
    LEAD,
    LOW,
    NEW,
    NEXT_DT,
    OUT,
    OUTSIDE,
    Q1,
    SPENT,
    STEPS,
    STORE_CHOKE,
    SUM_OUT,
    SUM_SPENT,
    TIME,
    P,
    Q,
)
from headstock.physics.fast_readings import sample
from headstock.physics.fast_sweeps import sweep
from headstock.physics.fast_valves import add_ports, port_lines, ports_at, ports_live, ports_missed, through_ports
from headstock.physics.fast_vessels import take_vessels, turn_governors, vessel_lines, vessels_after

ENDED, ROWS_FULL, BROKEN = 1, 2, 3
GROWTH, SHRINK = 1.4, 0.4
TURNS, SETTLED = 3, 0.2
"""How often valves are looked at in one step at most, and the share of the tolerance by which they may be missed."""
SHORTEST_SHARE = 0.002
"""Of the first step: where a pressure comes out as none, steps get as short as that."""
TOO_FAR = 16.0
"""A step whose pressures miss the extrapolated ones by so many tolerances is taken again, shorter."""


class Places(NamedTuple):
    """Faces of gates; cells of brakes and of ports (front, rear, then inside)."""

    gate_face: Ints
    brake_cell: Ints
    port_cell: Ints


class Room(NamedTuple):
    """Room to work in: what ports do and their lines (3, ports), vents (gates, 2), of fed valves, of emergency vents."""

    live: Ints
    lines: Floats
    vents: Floats
    behind: Floats
    gives: Floats
    blown: Floats


def room_for(gates: int, ports: int, gear: GearArrays) -> Room:
    """Room for one march."""
    return Room(
        np.zeros(ports, dtype=np.int64), np.zeros((3, ports)), np.zeros((gates, 2)), np.zeros(gear.feed.size),
        np.zeros(gear.feed.size), np.zeros(gear.place.size),
    )  # fmt: skip


@bare
def _greatest(lane: Floats, row: int) -> float:
    worst = 0.0
    for w in range(WIDTH):
        worst = max(worst, lane[row, w])
    return worst


@bare
def _total(lane: Floats, row: int) -> float:
    whole = 0.0
    for w in range(WIDTH):
        whole += lane[row, w]
    return whole


@bare
def fits(dt: float, left: float) -> tuple[float, bool]:
    """The step to take: lands on a stop, halving the last two; and whether it does."""
    if dt >= left * (1.0 - 1e-12):
        return left, True
    return (0.5 * left if 2.0 * dt > left else dt), False


@bare
def march_fast(
    pipe: Floats, side: Floats, lane: Floats, clock: Floats, places: Places, gates: Floats, valves: Floats, changes: Changes,
    met: int, rt: float, until_s: float, first_s: float, tolerance_pa: float, longest_s: float, gear: GearArrays,
    gear_set: GearSet, gear_state: GearState, gear_work: GearWork, room: Room, probes: Ints, times: Floats, readings: Floats,
) -> tuple[int, int, int]:  # fmt: skip
    """Steps from where the clock stands until a time [s], in tables of ``fast_layout`` for one lane.

    ``met``: how many changes have been met before. Returns why it stopped, how many have been met, and how many rows of readings
    were written.
    """
    n = places.port_cell[1] + 1
    count, until = places.brake_cell.size, LEAD + n
    p, guess, low, high, new, drawn = (
        pipe[P, LEAD:until], pipe[GUESS, LEAD:until], pipe[LOW, LEAD:until], pipe[HIGH, LEAD:until], pipe[NEW, LEAD:until],
        pipe[DRAWN, LEAD:until])  # fmt: skip
    over_root, outside = 1.0 / sqrt(rt), lane[OUTSIDE, 0]
    fastest = 1.0 / over_root
    live, lines, vents, behind, gives, blown = room
    m, geared, braked = gear.split, gear.cell.size > 0, gear.place.size > 0
    stored = False
    for k in range(count):
        stored = stored or side[STORE_CHOKE, k] > 0.0
    if clock[STEPS] == 0.0:
        first_targets(pipe, side, places.brake_cell, 1, eight(outside))
    all_of = eight(1.0)
    written, stop, special = 0, clock[TIME], False
    while True:
        if clock[TIME] >= stop:
            changed = False
            while met < changes.when_s.size and changes.when_s[met] <= clock[TIME]:
                bring(changes, met, gates, valves, gear, gear_set, gear_state, pipe)
                changed = changed or changes.really[met] > 0
                met += 1
            if changed:
                clock[NEXT_DT], clock[LAST_DT] = first_s, 0.0
            if clock[TIME] >= until_s:
                return ENDED, met, written
            stop = min(changes.when_s[met], until_s) if met < changes.when_s.size else until_s
            ports_live(valves, live)
            gate_drags(pipe, gates, places.gate_face, 0.0, rt)
            special = gates_special(gates)
        if written == times.size > 0:
            return ROWS_FULL, met, written
        dt, last = fits(clock[NEXT_DT], stop - clock[TIME])
        ratio = dt / clock[LAST_DT] if clock[LAST_DT] > 0.0 else 0.0
        alpha = (1.0 + 2.0 * ratio) / (1.0 + ratio)
        over_alpha = 1.0 / alpha
        now, before = (1.0 + ratio) * over_alpha, ratio * ratio / (1.0 + ratio) * over_alpha
        short = dt * over_alpha
        ratios, nows, befores, shorts = eight(ratio), eight(now), eight(before), eight(short)
        look_ahead(pipe, until, 1, ratios, fastest)
        if special:
            gate_drags(pipe, gates, places.gate_face, ratio, rt)
        face_lines(pipe, until, 1, ratios, nows, befores, shorts)
        if special:
            shut_gates(pipe, gates, places.gate_face)
        cell_rows(pipe, until, 1, nows, befores, eight(1.0 / short))
        if special:
            vent_lines(pipe, gates, places.gate_face, over_root, outside, vents)
        if count > 0:
            brake_lines(pipe, side, places.brake_cell, 1, stored, ratios, nows, befores, eight(short * rt), over_root,
                        eight(outside))  # fmt: skip
        if geared:
            for v in range(gear.cell.size):
                level, earlier = gear_state.level[v], gear_state.before[v]
                gear_work.seen[v], gear_work.held[v] = level + ratio * (level - earlier), now * level - before * earlier
            vessel_lines(gear, gear_set, gear_state, gear_work, guess, low, high, short, over_root, outside)
            emergency_lines(gear, gear_set, gear_state, guess, low, over_root, outside, blown)
        if m < n:
            supplies(pipe, gear, live, behind, gives)
        ports_at(pipe, GUESS, places.port_cell, live, lines)
        front, rear = pipe[Q, LEAD - 1], pipe[Q, until - 1]
        starts = (front + ratio * (front - pipe[Q1, LEAD - 1]), -rear - ratio * (rear - pipe[Q1, until - 1]))
        error = 0.0
        for turn in range(TURNS):
            port_lines(lane, valves, live, lines, starts, turn, rt, over_root)
            if m < n:
                fed_lines(gear, valves, behind, gives, over_root, lines)
            add_ports(pipe, places.port_cell, live, 1.0, lines)
            sweep(pipe, 0, m, HIGH, NEW)
            if m < n:
                draw_feeds(gear, places.port_cell, 1.0, lines, new, high)
                sweep(pipe, m, n, HIGH, NEW)
            store(lane, ERROR, 0, furthest(pipe, until))
            error = _greatest(lane, ERROR)
            error = error if error < 1e300 else -1.0
            if error < 0.0 or turn == TURNS - 1 or not ports_missed(
                pipe, lane, valves, places.port_cell, live, lines, short, rt, over_root, SETTLED * tolerance_pa
            ):  # fmt: skip
                break
            if m < n:
                draw_feeds(gear, places.port_cell, -1.0, lines, new, high)
            add_ports(pipe, places.port_cell, live, -1.0, lines)
        if geared and error >= 0.0:
            error = max(error, vessels_after(gear, gear_work, new))
        if (error < 0.0 or error > TOO_FAR * tolerance_pa) and dt > 1.001 * first_s:
            clock[NEXT_DT] = max(first_s, SHRINK * dt)  # nothing has been changed yet: again, shorter
            continue
        if error < 0.0 and dt > SHORTEST_SHARE * first_s:
            clock[NEXT_DT] = 0.25 * dt  # a front too strong for the line that the flows are taken as
            continue
        if error < 0.0:
            return BROKEN, met, written
        if braked and dt > 4.0 * JUST_BEHIND_S:
            part = earliest_turn(gear, gear_set, gear_state, gear_work, p, new)
            if part * dt + JUST_BEHIND_S < 0.9 * dt:
                clock[NEXT_DT] = part * dt + JUST_BEHIND_S
                continue
        for k in range(3):
            had = lane[FED + k, 0]
            lane[FED + k, 0], lane[FED1 + k, 0] = now * had - before * lane[FED1 + k, 0], had
        take_pipe(pipe, until, 1, all_of)
        through_ports(pipe, lane, places.port_cell, live, lines, short)
        if m < n:
            take_feeds(gear, places.port_cell, lines, p, drawn, lane, short)
        if geared:
            take_vessels(gear, gear_state, gear_work, p, drawn, lane, short)
            take_emergency(gear, blown, p, drawn, lane, short)
            take_cylinders(gear, gear_set, gear_state, p, lane, dt, over_root)
        if special:
            take_vents(pipe, lane, places.gate_face, vents, short)
        if count > 0:
            leaked, spent, missed = take_brakes(
                pipe, side, places.brake_cell, 1, ratios, nows, befores, eight(dt), eight(short * rt), eight(over_alpha),
                1.0 / rt, all_of, eight(outside),
            )  # fmt: skip
            store(lane, SUM_OUT, 0, leaked)
            store(lane, SUM_SPENT, 0, spent)
            store(lane, ERROR, 0, missed)
            lane[OUT, 0] += short * _total(lane, SUM_OUT)
            lane[SPENT, 0] += _total(lane, SUM_SPENT)
            error = max(error, _greatest(lane, ERROR))
        clock[TIME] = stop if last else clock[TIME] + dt
        clock[LAST_DT] = dt
        clock[STEPS] += 1.0
        wish = min(GROWTH, max(SHRINK, sqrt(tolerance_pa / max(error, 1e-3))))
        clock[NEXT_DT] = min(longest_s, max(min(first_s, GROWTH * dt), dt * wish))
        if geared:
            turned = turn_distributors(gear, gear_set, gear_state, p)
            if turn_governors(gear, gear_set, gear_state) or turned:
                clock[NEXT_DT], clock[LAST_DT] = first_s, 0.0
        if times.size > 0:
            times[written] = clock[TIME]
            sample(probes, pipe, side, lane, 0, 1, n, gear_state, readings[written])
            written += 1
