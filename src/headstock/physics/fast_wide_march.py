"""Compiled stepping of eight lanes with brake gear, each by its own clock: the steps of ``fast_march``, by selection.

Beside ``fast_block``, and compiled only when asked, so that what has no gear does not wait for it. What is put into balances and
taken out again is so only in lanes that look again. Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import APPLIED, RELEASED
from headstock.physics.eight import WIDTH, load, root, select, store
from headstock.physics.fast_block import Course, bring_in_eight, ends_live, formulas, step_of, verdict
from headstock.physics.fast_brakes import brake_lines, first_targets, take_brakes
from headstock.physics.fast_cells import cell_rows, face_lines, furthest, look_ahead, take_pipe
from headstock.physics.fast_changes import A_GATE, A_VALVE, OF_A_VESSEL, Changes
from headstock.physics.fast_distributors import JUST_BEHIND_S
from headstock.physics.fast_ends import add_ends, end_lines, ends_missed, through_ends
from headstock.physics.fast_gates import (
    drags_of_eight,
    gates_of_eight,
    shut_of_eight,
    take_vents_of_eight,
    vent_lines_of_eight,
    vents_of_eight,
)
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
    HIGH,
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
    OVER_ROOT,
    PART,
    Q1,
    RATIO,
    RT,
    SHORT,
    SLOPE_0,
    SPENT,
    STEPS,
    STOP,
    STORE_CHOKE,
    TAKES,
    TIME,
    TURNED,
    P,
    Q,
)
from headstock.physics.fast_march import BROKEN, ENDED, GROWTH, ROWS_FULL, SETTLED, SHRINK, TURNS
from headstock.physics.fast_readings import A_BRAKE_CYLINDER, A_VESSEL, sample
from headstock.physics.fast_wide_cylinders import wide_take_cylinders
from headstock.physics.fast_wide_distributors import (
    emergencies_open,
    wide_earliest_turn,
    wide_emergency_lines,
    wide_take_emergency,
    wide_turns,
)
from headstock.physics.fast_wide_ports import (
    factor,
    ports_at_row,
    ports_of_eight,
    solve,
    some,
    through_ports_of_eight,
    wide_add_ports,
    wide_draw_feeds,
    wide_port_lines,
    wide_ports_missed,
    wide_supplies,
)
from headstock.physics.fast_wide_rows import (
    BLOWING,
    D_APPLIES,
    D_AUTO,
    D_DIRECT,
    D_E_MOST,
    D_ELECTRIC,
    D_ISOLATED,
    D_LEAK,
    D_MODE,
    ELECTRIC,
    FED_ANY,
    LATE,
    LEAKING,
    V_LEVEL,
    V_SHARE,
    VENTED,
    WideGear,
)
from headstock.physics.fast_wide_vessels import (
    vessels_open,
    wide_governors,
    wide_take_vessels,
    wide_vessel_lines,
    wide_vessels_after,
)


@bare
def _bring(
    changes: Changes, number: int, w: int, gates: Floats, valves: Floats, lane: Floats, gear: WideGear, pipe: Floats
) -> None:
    """One change of lane ``w`` is made. A distributor cut in again takes the mode that its reference and the pipe ask for."""
    kind, k = changes.which[number, 0], changes.which[number, 1]
    j = k * WIDTH + w
    if kind == A_GATE or (kind == A_VALVE and k < 2):
        bring_in_eight(changes, number, w, gates, valves, lane)
        if kind == A_GATE:
            gear.vents[2 * k, w], gear.vents[2 * k + 1, w] = changes.figures[number, 1], changes.figures[number, 2]
    elif kind == A_VALVE:
        for c in range(6):
            gear.port[c, j - 2 * WIDTH] = changes.figures[number, c]
    elif kind == OF_A_VESSEL:
        for c in range(3):
            gear.vessel[V_SHARE + c, j] = changes.figures[number, c]
    else:
        if gear.brake[D_ISOLATED, j] > 0.0 and changes.figures[number, 0] == 0.0:
            compared = gear.store[k] if gear.brake[D_DIRECT, j] > 0.0 else gear.chamber[k]
            here = pipe[P, LEAD + gear.place[k] * WIDTH + w]
            is_low = gear.vessel[V_LEVEL, compared * WIDTH + w] - here > gear.brake[D_APPLIES, j]
            gear.brake[D_MODE, j] = 1.0 * APPLIED if is_low else 1.0 * RELEASED
        for c in range(4):
            gear.brake[D_ISOLATED + c, j] = changes.figures[number, c]


@bare
def _flags(gear: WideGear, gates: Floats) -> None:
    """What is to be looked at at all, after changes."""
    gear.flags[ELECTRIC], gear.flags[LEAKING] = 0, 0
    for j in range(gear.place.size * WIDTH):
        if gear.brake[D_E_MOST, j] > 0.0 or gear.brake[D_ELECTRIC, j] > 0.0:
            gear.flags[ELECTRIC] = 1
        if gear.brake[D_LEAK, j] > 0.0:
            gear.flags[LEAKING] = 1
    gear.flags[VENTED] = vents_of_eight(gates, gear.vents, gear.vented)
    ports_of_eight(gear)


@bare
def _look_again(pipe: Floats, lane: Floats, gear: WideGear, live_0: bool, live_1: bool, enough_pa: float) -> bool:
    """Which lanes' valves are to be looked at again, at the new pressures; whether any. Their lines are taken out."""
    rt, over_root, short = load(lane, RT, 0), load(lane, OVER_ROOT, 0), load(lane, SHORT, 0)
    again = wide_ports_missed(gear, pipe, lane, over_root, enough_pa)
    if live_0:
        again = again + ends_missed(pipe, lane, gear.cells, 0, short, rt, over_root, enough_pa)
    if live_1:
        again = again + ends_missed(pipe, lane, gear.cells, 1, short, rt, over_root, enough_pa)
    store(lane, LOOKS, 0, again * load(lane, LOOKS, 0))
    if not some(lane, LOOKS):
        return False
    if gear.split < gear.cells:
        wide_draw_feeds(gear, pipe, lane, -1.0)
    wide_add_ports(gear, pipe, lane, -1.0)
    add_ends(pipe, lane, gear.cells, -1.0)
    ports_at_row(gear, pipe, lane, NEW)
    return True


@bare
def _solve(
    pipe: Floats, lane: Floats, valves: Floats, gear: WideGear, live_0: bool, live_1: bool,
    tolerance_pa: float,
) -> None:  # fmt: skip
    """New pressures, valves looked at as often as needed; the greatest miss of each lane into ERROR."""
    m, n, ratio, rt, over_root = gear.split, gear.cells, load(lane, RATIO, 0), load(lane, RT, 0), load(lane, OVER_ROOT, 0)
    last = LEAD + (n - 1) * WIDTH
    store(lane, LOOKS, 0, load(lane, TAKES, 0))
    store(lane, AT_0, 0, load(pipe, GUESS, LEAD))
    store(lane, AT_0 + 1, 0, load(pipe, GUESS, last))
    ports_at_row(gear, pipe, lane, GUESS)
    q, q1 = load(pipe, Q, LEAD - WIDTH), load(pipe, Q1, LEAD - WIDTH)
    start_0 = q + ratio * (q - q1)
    q, q1 = load(pipe, Q, last), load(pipe, Q1, last)
    start_1 = -(q + ratio * (q - q1))
    eliminated = m < n and gear.flags[FED_ANY] > 0
    if eliminated:
        wide_supplies(gear, pipe)
    late = live_1 or gear.flags[LATE] > 0
    for turn in range(TURNS):
        if live_0:
            end_lines(lane, valves, 0, start_0, rt, over_root)
        if live_1:
            end_lines(lane, valves, 1, start_1, rt, over_root)
        wide_port_lines(gear, lane, over_root)
        add_ends(pipe, lane, n, 1.0)
        wide_add_ports(gear, pipe, lane, 1.0)
        factor(pipe, 0, m)
        solve(pipe, 0, m, HIGH, NEW)
        if m < n:
            wide_draw_feeds(gear, pipe, lane, 1.0)
            if late or not eliminated:
                factor(pipe, m, n)
                eliminated = True
            solve(pipe, m, n, HIGH, NEW)
        if turn == TURNS - 1 or not _look_again(pipe, lane, gear, live_0, live_1, SETTLED * tolerance_pa):
            break
        looks = load(lane, LOOKS, 0) > 0.0
        at_0, at_1 = load(pipe, NEW, LEAD), load(pipe, NEW, last)
        start_0 = load(lane, FLOW_0, 0) + load(lane, SLOPE_0, 0) * at_0
        start_1 = load(lane, FLOW_0 + 1, 0) + load(lane, SLOPE_0 + 1, 0) * at_1
        store(lane, AT_0, 0, select(looks, at_0, load(lane, AT_0, 0)))
        store(lane, AT_0 + 1, 0, select(looks, at_1, load(lane, AT_0 + 1, 0)))
    store(lane, ERROR, 0, furthest(pipe, last + WIDTH))


@bare
def _take(pipe: Floats, side: Floats, lane: Floats, gear: WideGear, gate_face: Ints, cells: Ints) -> None:
    """Steps in where they are taken: pressures, flows, tallies, gear, brakes; the miss of reservoirs into ERROR."""
    ratio, now, before, dt = load(lane, RATIO, 0), load(lane, NOW, 0), load(lane, BEFORE, 0), load(lane, DT, 0)
    short, takes, rt, over_root = load(lane, SHORT, 0), load(lane, TAKES, 0), load(lane, RT, 0), load(lane, OVER_ROOT, 0)
    taken = takes > 0.0
    for k in range(3):
        had, earlier = load(lane, FED + k, 0), load(lane, FED1 + k, 0)
        store(lane, FED1 + k, 0, select(taken, had, earlier))
        store(lane, FED + k, 0, select(taken, now * had - before * earlier, had))
    take_pipe(pipe, LEAD + gear.cells * WIDTH, WIDTH, takes)
    through_ends(pipe, lane, gear.cells, short, takes)
    through_ports_of_eight(gear, pipe, lane)
    wide_take_vessels(gear, pipe, lane)
    if gear.flags[BLOWING] > 0:
        wide_take_emergency(gear, pipe, lane)
    wide_take_cylinders(gear, pipe, lane, over_root)
    take_vents_of_eight(pipe, lane, gate_face, gear.vented, gear.flags[VENTED], gear.vent_lines)
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
def wide_sample(
    probes: Ints, pipe: Floats, side: Floats, lane: Floats, w: int, gear: WideGear, no_gear: GearState, row: Floats
) -> None:  # fmt: skip
    """One row of readings [Pa, absolute] of lane ``w``; ``no_gear``: room for gear of a lane, not read."""
    sample(probes, pipe, side, lane, w, WIDTH, gear.cells, no_gear, row)
    for k in range(probes.shape[0]):
        j = probes[k, 1] * WIDTH + w
        if probes[k, 0] == A_VESSEL:
            row[k] = gear.vessel[V_LEVEL, j]
        elif probes[k, 0] == A_BRAKE_CYLINDER:
            row[k] = max(gear.brake[D_AUTO, j], gear.brake[D_ELECTRIC, j]) + lane[OUTSIDE, w]


@bare
def _lines(
    pipe: Floats, side: Floats, lane: Floats, gates: Floats, gate_face: Ints, cells: Ints, course: Course, specials: int,
    stored: bool, gear: WideGear,
) -> None:  # fmt: skip
    """Flows as lines into the cells' balances, and all side devices but valves."""
    until = LEAD + gear.cells * WIDTH
    ratio, now, before, short = load(lane, RATIO, 0), load(lane, NOW, 0), load(lane, BEFORE, 0), load(lane, SHORT, 0)
    rt, over_root = load(lane, RT, 0), load(lane, OVER_ROOT, 0)
    look_ahead(pipe, until, WIDTH, ratio, 1.0 / over_root)
    drags_of_eight(pipe, lane, gates, gate_face, course.special, specials)
    face_lines(pipe, until, WIDTH, ratio, now, before, short)
    shut_of_eight(pipe, gates, gate_face, course.special, specials)
    cell_rows(pipe, until, WIDTH, now, before, 1.0 / short)
    vent_lines_of_eight(pipe, lane, gate_face, gear.vents, gear.vented, gear.flags[VENTED], gear.vent_lines)
    if cells.size > 0:
        brake_lines(pipe, side, cells, WIDTH, stored, ratio, now, before, short * rt, over_root, load(lane, OUTSIDE, 0))
    wide_vessel_lines(gear, pipe, lane, over_root)
    if gear.flags[BLOWING] > 0:
        wide_emergency_lines(gear, pipe, lane, over_root)


@bare
def _turn(pipe: Floats, lane: Floats, clock: Floats, gear: WideGear, first_s: float) -> None:
    """Distributors and governors after the step; where one turned, the next one is short and knows nothing of before."""
    store(lane, TURNED, 0, 0.0 * load(lane, TAKES, 0))
    wide_turns(gear, pipe, lane)
    wide_governors(gear, lane)
    if some(lane, TURNED):
        for w in range(WIDTH):
            if lane[TURNED, w] > 0.0:
                clock[NEXT_DT, w], clock[LAST_DT, w] = first_s, 0.0
        vessels_open(gear)
        emergencies_open(gear)


@bare
def march_wide(
    pipe: Floats, side: Floats, lane: Floats, clock: Floats, gate_face: Ints, brake_cell: Ints, gates: Floats, valves: Floats,
    changes: Changes, course: Course, gear: WideGear, until_s: float, first_s: float, tolerance_pa: float,
    longest_s: float, no_gear: GearState, probes: Ints, times: Floats, readings: Floats,
) -> tuple[int, int]:  # fmt: skip
    """Steps eight lanes from where their clocks (4, 8) stand until a time [s]; returns why it stopped, and for which lane."""
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
                    _bring(changes, course.met[w], w, gates, valves, lane, gear, pipe)
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
            _flags(gear, gates)
            vessels_open(gear)
            emergencies_open(gear)
        formulas(lane)
        _lines(pipe, side, lane, gates, gate_face, brake_cell, course, specials, stored, gear)
        _solve(pipe, lane, valves, gear, live_0, live_1, tolerance_pa)
        wide_vessels_after(gear, pipe, lane)
        wide_earliest_turn(gear, pipe, lane)
        for w in range(WIDTH):
            if course.done[w] == 0:
                if not verdict(lane, clock, w, first_s, tolerance_pa):
                    return BROKEN, w
                dt, turns_s = lane[DT, w], lane[PART, w] * lane[DT, w] + JUST_BEHIND_S
                if lane[TAKES, w] > 0.0 and dt > 4.0 * JUST_BEHIND_S and turns_s < 0.9 * dt:
                    clock[NEXT_DT, w], lane[TAKES, w] = turns_s, 0.0
        _take(pipe, side, lane, gear, gate_face, brake_cell)
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
        _turn(pipe, lane, clock, gear, first_s)
        for w in range(WIDTH):
            if lane[TAKES, w] > 0.0 and times.shape[0] > 0:
                row = course.written[w]
                times[row, w] = clock[TIME, w]
                wide_sample(probes, pipe, side, lane, w, gear, no_gear, readings[row, :, w])
                course.written[w] += 1
