"""Eight lanes of a block in the tables that the stepping works on, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.eight import WIDTH
from headstock.physics.fast_block import Course, march_eight
from headstock.physics.fast_changes import A_GATE
from headstock.physics.fast_ends import FIGURES
from headstock.physics.fast_gear import GearState, state_of_lane
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_layout import (
    AREA_0,
    CAP,
    CHAMBER_CHOKE,
    COLUMNS,
    DRAWN,
    FED1,
    GRID_OF_BRAKE,
    HALF_0,
    LEAD,
    OUTSIDE,
    OVER_ROOT,
    P1,
    Q1,
    RT,
    TIME,
    VALVE_0,
    P,
    Q,
    lane_table,
    pipe_table,
    side_table,
)
from headstock.physics.fast_march import BROKEN, ENDED
from headstock.physics.fast_readings import sample
from headstock.physics.fast_seats import Marched
from headstock.physics.fast_settings import Told, changes_of
from headstock.physics.fast_state import FastState, Steps
from headstock.physics.fast_wide_march import march_wide, wide_sample
from headstock.physics.fast_wide_seats import gear_left, wide_gear_of

FEWEST_CELLS, ROWS = 4, 1024


@dataclass(frozen=True, slots=True)
class _Eight:
    pipe: Floats
    side: Floats
    lane: Floats
    clock: Floats


def is_plain(grid: FastGrid, told: Sequence[Told]) -> bool:
    """Whether lanes have stand-in brakes, valves at the ends, no vents and one temperature: work for ``fast_block``."""
    plain = grid.gear.cell.size == grid.gear.place.size == len(grid.inner_valves) == 0 and grid.cells >= FEWEST_CELLS
    plain = plain and bool(np.all(grid.rt_of_lane == grid.rt))
    return plain and not any(_has_vents(one) for one in told)


def _has_vents(told: Told) -> bool:
    if any(row[1] or row[2] for row in told.gates):
        return True
    return any(kind == A_GATE and (row[1] or row[2]) for (kind, _), row in zip(told.which, told.figures, strict=True))


def march_together(
    grid: FastGrid, state: FastState, told: Sequence[Told], until_s: float, steps: Steps, which: Ints
) -> list[Marched]:
    """Every lane of a block goes on until a time, eight at a time; ``steps`` as they are to be."""
    every = list(range(len(told)))
    return [
        _march(grid, state, every[first : first + WIDTH], told, until_s, steps, which) for first in range(0, len(told), WIDTH)
    ]


def _seat(grid: FastGrid, state: FastState, places: Sequence[int], valves: Floats) -> _Eight:
    """Eight lanes of a block, their state copied; ``valves`` (2 x lane + end, figures)."""
    cells, brakes = grid.cells, grid.brake_cell.size
    if list(places) == list(range(places[0], places[0] + WIDTH)):
        whose: slice | Sequence[int] = slice(places[0], places[0] + WIDTH)  # in a row: no gathering
    else:
        whose = places
    pipe, side, row = pipe_table(cells, WIDTH), side_table(brakes, WIDTH), lane_table()
    here, faces = slice(LEAD, LEAD + cells * WIDTH), slice(0, LEAD + cells * WIDTH)
    pipe[CAP : CAP + COLUMNS, here] = grid.columns[..., whose].reshape(COLUMNS, -1)
    p, q, chamber, reservoir, tally = (level[..., whose] for level in state.now)
    p1, q1, chamber1, reservoir1, tally1 = (level[..., whose] for level in state.before)
    pipe[P, here], pipe[P1, here], pipe[DRAWN, here] = p.ravel(), p1.ravel(), state.drawn[:, whose].ravel()
    pipe[Q, faces], pipe[Q1, faces] = q.ravel(), q1.ravel()
    for at, level in enumerate((chamber, chamber1, reservoir, reservoir1, state.cylinder[:, whose], state.aim[:, whose])):
        side[at] = level.ravel()
    side[CHAMBER_CHOKE : CHAMBER_CHOKE + len(GRID_OF_BRAKE)] = grid.brakes[GRID_OF_BRAKE, :, :][..., whose].reshape(
        len(GRID_OF_BRAKE), -1
    )
    row[:FED1], row[FED1 : 2 * FED1] = tally, tally1
    row[HALF_0 : HALF_0 + 2], row[AREA_0 : AREA_0 + 2] = grid.half[:, whose], grid.area[[0, -1]][:, whose]
    row[OUTSIDE], row[RT], row[OVER_ROOT] = grid.outside_pa[whose], grid.rt_of_lane[whose], 1.0 / np.sqrt(grid.rt_of_lane[whose])
    row[VALVE_0 : VALVE_0 + 2 * FIGURES] = valves.reshape(WIDTH, 2 * FIGURES).T
    return _Eight(pipe, side, row, state.clock[:, whose].copy())


def _march(
    grid: FastGrid,
    state: FastState,
    whose: list[int],
    told: Sequence[Told],
    until_s: float,
    steps: Steps,
    which: Ints,
) -> Marched:
    """Up to eight lanes; places that are left over stand as the last lane does and are done from the start."""
    filled = whose + [whose[-1]] * (WIDTH - len(whose))
    valves = np.array([row for one in filled for row in told[one].valves[:2]])
    eight, no_gear = _seat(grid, state, filled, valves), state_of_lane(state.gear, 0)
    wide = None if is_plain(grid, told) else wide_gear_of(grid, state, told, filled)
    gates = np.array([[row[0] for row in told[one].gates] for one in filled]).T.copy()
    changes, course = changes_of([told[one] for one in whose]), _course([len(told[one].when_s) for one in whose], gates.size)
    tables, faces = (eight.pipe, eight.side, eight.lane), (grid.gate_face, grid.brake_cell)
    first = np.empty((1, which.shape[0], WIDTH))
    for w in range(WIDTH if which.shape[0] else 0):
        if wide is None:
            sample(which, *tables, w, WIDTH, grid.cells, no_gear, first[0, :, w])
        else:
            wide_sample(which, *tables, w, wide, no_gear, first[0, :, w])
    size = ROWS if which.shape[0] else 0
    t_s, readings = np.empty((size, WIDTH)), np.empty((size, which.shape[0], WIDTH))
    while True:
        if wide is None:
            why, w = march_eight(
                *tables, eight.clock, *faces, gates, valves, changes, course, grid.cells, grid.rt, float(until_s), *steps,
                no_gear, which, t_s, readings,
            )  # fmt: skip
        else:
            why, w = march_wide(
                *tables, eight.clock, *faces, gates, valves, changes, course, wide, float(until_s), *steps, no_gear,
                which, t_s, readings,
            )  # fmt: skip
        if why == BROKEN:
            raise OutsideModelError(f"a pressure leaves what air can have at {eight.clock[TIME, w]:.3f} s")
        if why == ENDED:
            break
        t_s, readings = np.concatenate((t_s, np.empty_like(t_s))), np.concatenate((readings, np.empty_like(readings)))
    times, rows = np.concatenate((state.clock[:1, filled], t_s)), np.concatenate((first, readings))
    gear = GearState(*(part[..., whose] for part in state.gear)) if wide is None else gear_left(wide, len(whose))
    return _left(grid, eight, gear, times, rows, course.written)


def _course(changes: Sequence[int], gates: int) -> Course:
    """Eight lanes at the beginning of their ways, by how many changes each meets; places left over are done."""
    spare = WIDTH - len(changes)
    counts = np.cumsum([0, *changes, *[0] * spare])
    done = (np.arange(WIDTH) >= len(changes)).astype(np.int64)
    return Course(counts[:-1].copy(), counts[1:], np.zeros(WIDTH, dtype=np.int64), done, np.zeros(gates, dtype=np.int64))


def _left(grid: FastGrid, eight: _Eight, gear: GearState, t_s: Floats, readings_pa: Floats, written: Ints) -> Marched:
    """What the lanes remember and have read."""
    count, most = gear.level.shape[-1], int(written.max()) + 1
    for w in range(count if most > 1 else 0):
        t_s[written[w] + 1 : most, w] = t_s[written[w], w]
        readings_pa[written[w] + 1 : most, :, w] = readings_pa[written[w], :, w]
    faces, brakes = grid.cells + 1, grid.brake_cell.size
    pipe = eight.pipe[:CAP, : faces * WIDTH].reshape(CAP, faces, WIDTH)[..., :count]
    side = eight.side[:CHAMBER_CHOKE, : brakes * WIDTH].reshape(CHAMBER_CHOKE, brakes, WIDTH)[..., :count]
    return Marched(
        pipe, side, eight.lane[:HALF_0, :count], eight.clock[:, :count], gear, t_s[:most, :count], readings_pa[:most, :, :count]
    )
