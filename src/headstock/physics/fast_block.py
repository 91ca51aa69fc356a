"""Compiled stepping of eight lanes at a time, each by its own clock: the steps of ``fast_march`` for pipes with stand-in brakes.

A lane takes its step or takes it again by selection; it meets its own changes; one that is done waits for the others. So what
comes out for a lane does not hang on its neighbours.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import WIDTH, load, root, select, store
from headstock.physics.fast_brakes import brake_lines, first_targets, take_brakes
from headstock.physics.fast_cells import cell_rows, face_lines, furthest, look_ahead, take_pipe
from headstock.physics.fast_changes import A_GATE, Changes
from headstock.physics.fast_ends import FIGURES, add_ends, end_lines, ends_missed, through_ends
from headstock.physics.fast_gates import drags_of_eight, gates_of_eight, shut_of_eight
from headstock.physics.fast_gear import GearState
from headstock.physics.fast_layout import (
    AT_0,
    BEFORE,
    DT,
    ERROR,
    FED,
    FED1,
    FLOW_0,
    GUESS,
    LANDS,
    LAST_DT,
    LEAD,
    LOOKS,
    NEW,
    NEXT_DT,
    NOW,
    OUT,
    OUTSIDE,
    OVER_ALPHA,
    Q1,
    RATIO,
    SHORT,
    SLOPE_0,
    SPENT,
    STEPS,
    STOP,
    STORE_CHOKE,
    TAKES,
    TIME,
    VALVE_0,
    Q,
)
from headstock.physics.fast_march import (
    BROKEN,
    ENDED,
    GROWTH,
    ROWS_FULL,
    SETTLED,
    SHORTEST_SHARE,
    SHRINK,
    TOO_FAR,
    TURNS,
    fits,
)
from headstock.physics.fast_readings import sample
from headstock.physics.fast_sweeps import sweep_eight


class Course(NamedTuple):
    """Where each of eight lanes is on its way: number of the next change, of the first it does not have, rows written, done."""

    met: Ints
    behind: Ints
    written: Ints
    done: Ints
    special: Ints


@bare
def bring_in_eight(changes: Changes, number: int, w: int, gates: Floats, valves: Floats, lane: Floats) -> None:
    """One change of lane ``w`` is made: gate areas (gates, 8), valves at the ends."""
    k = changes.which[number, 1]
    if changes.which[number, 0] == A_GATE:
        gates[k, w] = changes.figures[number, 0]
        return
    for c in range(6):
        lane[VALVE_0 + FIGURES * k + c, w] = valves[2 * w + k, c] = changes.figures[number, c]


@bare
def ends_live(lane: Floats, end: int) -> bool:
    """Whether a valve at an end passes anything in any lane; its lines are nothing otherwise."""
    live = False
    for w in range(WIDTH):
        at = VALVE_0 + FIGURES * end
        live = live or lane[at + 1, w] > 0.0 or lane[at + 3, w] > 0.0
        lane[SLOPE_0 + end, w], lane[FLOW_0 + end, w] = 0.0, 0.0
    return live


@bare
def step_of(lane: Floats, clock: Floats, w: int, stop_s: float) -> None:
    """The step that lane ``w`` tries."""
    dt, lands = fits(clock[NEXT_DT, w], stop_s - clock[TIME, w])
    lane[DT, w], lane[LANDS, w] = dt, 1.0 if lands else 0.0
    lane[RATIO, w] = clock[LAST_DT, w]


@bare
def formulas(lane: Floats) -> None:
    """What the backward difference formula takes of the steps, each over the last one (0: none, first order)."""
    dt, last = load(lane, DT, 0), load(lane, RATIO, 0)
    ratio = select(last > 0.0, dt / select(last > 0.0, last, 1.0), 0.0)
    over = 1.0 / (1.0 + 2.0 * ratio)
    store(lane, RATIO, 0, ratio)
    store(lane, OVER_ALPHA, 0, (1.0 + ratio) * over)
    store(lane, SHORT, 0, dt * ((1.0 + ratio) * over))
    store(lane, NOW, 0, (1.0 + ratio) * (1.0 + ratio) * over)
    store(lane, BEFORE, 0, ratio * ratio * over)


@bare
def verdict(lane: Floats, clock: Floats, w: int, first_s: float, tolerance_pa: float) -> bool:
    """Takes lane ``w``'s step, or sets a shorter one; false if it cannot get shorter."""
    error, dt = lane[ERROR, w], lane[DT, w]
    none = not error < 1e300
    lane[TAKES, w] = 0.0
    if (none or error > TOO_FAR * tolerance_pa) and dt > 1.001 * first_s:
        clock[NEXT_DT, w] = max(first_s, SHRINK * dt)
    elif none and dt > SHORTEST_SHARE * first_s:
        clock[NEXT_DT, w] = 0.25 * dt
    elif none:
        return False
    else:
        lane[TAKES, w] = 1.0
    return True


@bare
def _solve(
    pipe: Floats, lane: Floats, valves: Floats, n: int, live_0: bool, live_1: bool, ratio: Floats, short: Floats, rt: float,
    over_root: float, tolerance_pa: float,
) -> None:  # fmt: skip
    """New pressures, the valves at the ends looked at as often as needed; the greatest miss of each lane into ERROR."""
    last = LEAD + (n - 1) * WIDTH
    store(lane, AT_0, 0, load(pipe, GUESS, LEAD))
    store(lane, AT_0 + 1, 0, load(pipe, GUESS, last))
    store(lane, LOOKS, 0, load(lane, TAKES, 0))
    q, q1 = load(pipe, Q, LEAD - WIDTH), load(pipe, Q1, LEAD - WIDTH)
    start_0 = q + ratio * (q - q1)
    q, q1 = load(pipe, Q, last), load(pipe, Q1, last)
    start_1 = -(q + ratio * (q - q1))
    for turn in range(TURNS):
        if live_0:
            end_lines(lane, valves, 0, start_0, rt, over_root)
        if live_1:
            end_lines(lane, valves, 1, start_1, rt, over_root)
        add_ends(pipe, lane, n, 1.0)
        sweep_eight(pipe, n)
        if turn == TURNS - 1 or not (live_0 or live_1):
            break
        again = load(lane, LOOKS, 0) * 0.0
        if live_0:
            again = again + ends_missed(pipe, lane, n, 0, short, rt, over_root, SETTLED * tolerance_pa)
        if live_1:
            again = again + ends_missed(pipe, lane, n, 1, short, rt, over_root, SETTLED * tolerance_pa)
        store(lane, LOOKS, 0, again * load(lane, LOOKS, 0))
        some = False
        for w in range(WIDTH):
            some = some or lane[LOOKS, w] > 0.0
        if not some:
            break
        add_ends(pipe, lane, n, -1.0)
        looks = load(lane, LOOKS, 0) > 0.0
        at_0, at_1 = load(pipe, NEW, LEAD), load(pipe, NEW, last)
        start_0 = load(lane, FLOW_0, 0) + load(lane, SLOPE_0, 0) * at_0
        start_1 = load(lane, FLOW_0 + 1, 0) + load(lane, SLOPE_0 + 1, 0) * at_1
        store(lane, AT_0, 0, select(looks, at_0, load(lane, AT_0, 0)))
        store(lane, AT_0 + 1, 0, select(looks, at_1, load(lane, AT_0 + 1, 0)))
    store(lane, ERROR, 0, furthest(pipe, last + WIDTH))


@bare
def _take(pipe: Floats, side: Floats, lane: Floats, cells: Ints, n: int, rt: float) -> None:
    """Steps in where they are taken: pressures, flows, tallies, brakes; the miss of reservoirs into ERROR."""
    ratio, now, before, dt = load(lane, RATIO, 0), load(lane, NOW, 0), load(lane, BEFORE, 0), load(lane, DT, 0)
    short, takes = load(lane, SHORT, 0), load(lane, TAKES, 0)
    taken = takes > 0.0
    for k in range(3):
        had, earlier = load(lane, FED + k, 0), load(lane, FED1 + k, 0)
        store(lane, FED1 + k, 0, select(taken, had, earlier))
        store(lane, FED + k, 0, select(taken, now * had - before * earlier, had))
    take_pipe(pipe, LEAD + n * WIDTH, WIDTH, takes)
    through_ends(pipe, lane, n, short, takes)
    if cells.size > 0:
        leaked, spent, missed = take_brakes(
            pipe, side, cells, WIDTH, ratio, now, before, dt, short * rt, load(lane, OVER_ALPHA, 0), 1.0 / rt, takes,
            load(lane, OUTSIDE, 0),
        )  # fmt: skip
        store(lane, OUT, 0, load(lane, OUT, 0) + select(taken, short * leaked, 0.0))
        store(lane, SPENT, 0, load(lane, SPENT, 0) + select(taken, spent, 0.0))
        error = load(lane, ERROR, 0)
        store(lane, ERROR, 0, select(missed > error, missed, error))


@bare
def march_eight(
    pipe: Floats, side: Floats, lane: Floats, clock: Floats, gate_face: Ints, brake_cell: Ints, gates: Floats, valves: Floats,
    changes: Changes, course: Course, n: int, rt: float, until_s: float, first_s: float, tolerance_pa: float, longest_s: float,
    no_gear: GearState, probes: Ints, times: Floats, readings: Floats,
) -> tuple[int, int]:  # fmt: skip
    """Steps eight lanes from where their clocks (4, 8) stand until a time [s]; returns why it stopped, and for which lane."""
    until, over_root = LEAD + n * WIDTH, 1.0 / sqrt(rt)
    stored, specials, live_0, live_1 = False, 0, False, False
    for j in range(brake_cell.size * WIDTH):
        stored = stored or side[STORE_CHOKE, j] > 0.0
    if clock[STEPS, 0] == 0.0:
        first_targets(pipe, side, brake_cell, WIDTH, load(lane, OUTSIDE, 0))
    for w in range(WIDTH):
        lane[STOP, w] = clock[TIME, w]  # where it stops next
    while True:
        running, changed = 0, False
        for w in range(WIDTH):
            if course.done[w] == 0 and clock[TIME, w] >= lane[STOP, w]:
                changed, anew = True, False
                while course.met[w] < course.behind[w] and changes.when_s[course.met[w]] <= clock[TIME, w]:
                    bring_in_eight(changes, course.met[w], w, gates, valves, lane)
                    anew = anew or changes.really[course.met[w]] > 0
                    course.met[w] += 1
                if anew:
                    clock[NEXT_DT, w], clock[LAST_DT, w] = first_s, 0.0
                next_s = changes.when_s[course.met[w]] if course.met[w] < course.behind[w] else until_s
                lane[STOP, w] = min(next_s, until_s)
                course.done[w] = 1 if clock[TIME, w] >= until_s else 0
            lane[TAKES, w] = 0.0 if course.done[w] else 1.0
            if course.done[w] == 0:
                running += 1
                if course.written[w] == times.shape[0] > 0:
                    return ROWS_FULL, w
            step_of(lane, clock, w, lane[STOP, w] if course.done[w] == 0 else clock[TIME, w] + first_s)
        if running == 0:
            return ENDED, 0
        if changed:
            specials = gates_of_eight(pipe, gates, gate_face, course.special)
            live_0, live_1 = ends_live(lane, 0), ends_live(lane, 1)
        formulas(lane)
        ratio, now, before, short = load(lane, RATIO, 0), load(lane, NOW, 0), load(lane, BEFORE, 0), load(lane, SHORT, 0)
        look_ahead(pipe, until, WIDTH, ratio, 1.0 / over_root)
        drags_of_eight(pipe, lane, gates, gate_face, course.special, specials)
        face_lines(pipe, until, WIDTH, ratio, now, before, short)
        shut_of_eight(pipe, gates, gate_face, course.special, specials)
        cell_rows(pipe, until, WIDTH, now, before, 1.0 / short)
        if brake_cell.size > 0:
            brake_lines(pipe, side, brake_cell, WIDTH, stored, ratio, now, before, short * rt, over_root, load(lane, OUTSIDE, 0))
        _solve(pipe, lane, valves, n, live_0, live_1, ratio, short, rt, over_root, tolerance_pa)
        for w in range(WIDTH):
            if course.done[w] == 0 and not verdict(lane, clock, w, first_s, tolerance_pa):
                return BROKEN, w
        _take(pipe, side, lane, brake_cell, n, rt)
        error = load(lane, ERROR, 0)
        store(lane, ERROR, 0, root(tolerance_pa / select(error > 1e-3, error, 1e-3)))
        for w in range(WIDTH):
            if lane[TAKES, w] > 0.0:
                dt = lane[DT, w]
                clock[TIME, w] = lane[STOP, w] if lane[LANDS, w] > 0.0 else clock[TIME, w] + dt
                clock[LAST_DT, w] = dt
                clock[STEPS, w] += 1.0
                wish = min(GROWTH, max(SHRINK, lane[ERROR, w]))
                clock[NEXT_DT, w] = min(longest_s, max(min(first_s, GROWTH * dt), dt * wish))
                if times.shape[0] > 0:
                    row = course.written[w]
                    times[row, w] = clock[TIME, w]
                    sample(probes, pipe, side, lane, w, WIDTH, n, no_gear, readings[row, :, w])
                    course.written[w] += 1
