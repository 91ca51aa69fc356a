"""One lane of a block in the tables that the stepping works on, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fast_gear import GearArrays, GearState, gear_of_lane, gear_work, state_of_lane
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_layout import (
    AIM,
    AREA_0,
    CAP,
    CHAMBER_CHOKE,
    COLUMNS,
    CYLINDER,
    DRAWN,
    FED1,
    GRID_OF_BRAKE,
    HALF_0,
    LEAD,
    OUTSIDE,
    P1,
    Q1,
    TIME,
    P,
    Q,
    lane_table,
    pipe_table,
    side_table,
)
from headstock.physics.fast_march import BROKEN, ENDED, Places, march_fast, room_for
from headstock.physics.fast_readings import sample
from headstock.physics.fast_settings import Stands, Told, changes_of, settings_of
from headstock.physics.fast_state import FastState, Steps

ROWS = 4096
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Seat:
    """Tables of one lane (``fast_layout``), its clock, its gear."""

    pipe: Floats
    side: Floats
    lane: Floats
    clock: Floats
    gear: GearArrays
    gear_state: GearState


@dataclass(frozen=True, slots=True)
class Marched:
    """What some lanes remember at the end, the lane last: pipe (rows, faces; a cell stands at the face behind it), brakes,
    tallies, clock, gear; times [s] (samples, lanes), readings [Pa] (samples, probes, lanes), the last repeated where a lane has
    fewer."""

    pipe: Floats
    side: Floats
    tally: Floats
    clock: Floats
    gear: GearState
    t_s: Floats
    readings_pa: Floats


def seat(grid: FastGrid, state: FastState, lane: int) -> Seat:
    """One lane of a block, its state copied."""
    cells, brakes = grid.cells, grid.brake_cell.size
    pipe, side, row = pipe_table(cells, 1), side_table(brakes, 1), lane_table()
    here, faces = slice(LEAD, LEAD + cells), slice(LEAD - 1, LEAD + cells)
    pipe[CAP : CAP + COLUMNS, here] = grid.columns[..., lane]
    p, q, chamber, reservoir, tally = (level[..., lane] for level in state.now)
    p1, q1, chamber1, reservoir1, tally1 = (level[..., lane] for level in state.before)
    pipe[P, here], pipe[P1, here], pipe[Q, faces], pipe[Q1, faces], pipe[DRAWN, here] = p, p1, q, q1, state.drawn[:, lane]
    side[:AIM, :brakes] = chamber, chamber1, reservoir, reservoir1, state.cylinder[:, lane]
    side[AIM, :brakes] = state.aim[:, lane]
    side[CHAMBER_CHOKE : CHAMBER_CHOKE + len(GRID_OF_BRAKE), :brakes] = grid.brakes[GRID_OF_BRAKE, :, lane]
    row[:FED1, 0], row[FED1 : 2 * FED1, 0] = tally, tally1
    row[HALF_0 : HALF_0 + 2, 0], row[AREA_0 : AREA_0 + 2, 0] = grid.half[:, lane], grid.area[[0, -1], lane]
    row[OUTSIDE, 0] = grid.outside_pa[lane]
    return Seat(pipe, side, row, state.clock[:, lane].copy(), gear_of_lane(grid.gear, lane), state_of_lane(state.gear, lane))


def march_lane(
    grid: FastGrid, state: FastState, lane: int, told: Told, until_s: float, steps: Steps, which: Ints
) -> Marched:  # fmt: skip
    """A lane goes on until a time; ``steps`` as they are to be. Raises OutsideModelError."""
    seated, settings, changes = seat(grid, state, lane), settings_of(told), changes_of([told])
    places = Places(grid.gate_face, grid.brake_cell, grid.port_cell)
    tables = (seated.pipe, seated.side, seated.lane)
    first = np.empty((1, which.shape[0]))
    sample(which, *tables, 0, 1, grid.cells, seated.gear_state, first[0])
    times, rows, met, room = [seated.clock[:1].copy()], [first], 0, gear_work(seated.gear)
    more = room_for(grid.gate_face.size, places.port_cell.size, grid.gear)
    while True:
        size = ROWS if which.shape[0] else 0
        t_s, readings = np.empty(size), np.empty((size, which.shape[0]))
        why, met, written = march_fast(
            *tables, seated.clock, places, settings.gates, settings.valves, changes, met, float(grid.rt_of_lane[lane]),
            float(until_s), *steps, seated.gear, settings.gear, seated.gear_state, room, more, which, t_s, readings,
        )  # fmt: skip
        times.append(t_s[:written])
        rows.append(readings[:written])
        if why == BROKEN:
            raise OutsideModelError(f"a pressure leaves what air can have at {seated.clock[TIME]:.3f} s")
        if why == ENDED:
            return _left(grid, seated, np.concatenate(times), np.concatenate(rows))


def _left(grid: FastGrid, seated: Seat, t_s: Floats, readings_pa: Floats) -> Marched:
    """What a lane remembers and has read."""
    pipe, side = seated.pipe[:CAP, LEAD - 1 : LEAD + grid.cells], seated.side[:CHAMBER_CHOKE, : grid.brake_cell.size]
    gear = GearState(*(part[..., None] for part in seated.gear_state))
    return Marched(
        pipe[..., None],
        side[..., None],
        seated.lane[:HALF_0, :1],
        seated.clock[:, None],
        gear,
        t_s[:, None],
        readings_pa[..., None],
    )


def state_of(was: FastState, whole: Marched, stands: Stands) -> FastState:
    """The state of a block."""
    pipe, side, row = whole.pipe, whole.side, whole.tally
    return FastState(
        whole.clock, (pipe[P, 1:], pipe[Q], side[0], side[2], row[:FED1]), (pipe[P1, 1:], pipe[Q1], side[1], side[3], row[FED1:]),
        side[CYLINDER], side[AIM], pipe[DRAWN, 1:], _kept(stands.gates), _kept(stands.valves), _kept(stands.vessels),
        _kept(stands.distributors), whole.gear, was.first_mass_kg,
    )  # fmt: skip


def side_by_side(parts: Sequence[Marched]) -> Marched:
    """Lanes of a block as one."""
    if len(parts) == 1:
        return parts[0]
    most = max(len(one.t_s) for one in parts)
    gear = GearState(*(np.concatenate(same, axis=-1) for same in zip(*(one.gear for one in parts), strict=True)))
    pipe, side, tally, clock = (
        np.concatenate([getattr(one, name) for one in parts], axis=-1) for name in ("pipe", "side", "tally", "clock")
    )
    t_s, readings = (
        np.concatenate([_longer(getattr(one, name), most) for one in parts], axis=-1) for name in ("t_s", "readings_pa")
    )
    return Marched(pipe, side, tally, clock, gear, t_s, readings)


def _longer(rows: Floats, count: int) -> Floats:
    return np.concatenate((rows, np.repeat(rows[-1:], count - len(rows), axis=0))) if len(rows) < count else rows


def _kept(lanes: Sequence[Sequence[T]]) -> tuple[tuple[T, ...], ...]:
    return tuple(tuple(lane) for lane in lanes)
