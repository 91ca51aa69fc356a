"""Brake gear of eight lanes of a block in the tables that the stepping works on, and back."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH
from headstock.physics.fast_ends import FIGURES
from headstock.physics.fast_gear import NONE, GearState
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_settings import Told
from headstock.physics.fast_state import FastState
from headstock.physics.fast_wide_rows import (
    D_AIM,
    D_AUTO,
    D_ELECTRIC,
    D_ISOLATED,
    D_MODE,
    D_TURNED_AT,
    DISTRIBUTOR_ROWS,
    FLAGS,
    PORT_ROWS,
    V_BEFORE,
    V_BLOWING,
    V_COMPRESSOR,
    V_LEVEL,
    V_RUNNING,
    V_SAFETY,
    V_SHARE,
    VESSEL_ROWS,
    WideGear,
)

ENDS = 2
"""Ports before those on branches."""


def wide_gear_of(grid: FastGrid, state: FastState, told: Sequence[Told], filled: Sequence[int]) -> WideGear:
    """The gear of eight lanes, their state copied."""
    gear, inner, gates = grid.gear, len(grid.inner_valves), grid.gate_face.size
    vessel, brake = _vessels(grid, state, told, filled), _distributors(grid, state, told, filled)
    port = np.zeros((PORT_ROWS, inner * WIDTH))
    figures = np.array([told[one].valves[ENDS:] for one in filled]).reshape(WIDTH, inner, FIGURES)
    port[:FIGURES] = figures.transpose(2, 1, 0).reshape(FIGURES, -1)
    areas = np.array([[row[1:3] for row in told[one].gates] for one in filled], dtype=np.float64)
    governed = ((vessel[V_COMPRESSOR] > 0.0) | (vessel[V_SAFETY] > 0.0)).reshape(gear.cell.size, WIDTH).any(axis=1)
    none = [np.zeros(count, dtype=np.int64) for count in (gear.cell.size, inner, inner, FLAGS)]
    return WideGear(
        gear.cell, gear.second, gear.opens, gear.master, gear.place, np.where(gear.chamber == NONE, gear.store, gear.chamber),
        gear.store, gear.rate, np.flatnonzero(governed).astype(np.int64), gear.feed, grid.valve_cell, gear.split, gear.cells,
        vessel, brake, port, none[0], none[1], none[2], none[3], areas.reshape(WIDTH, 2 * gates).T.copy(),
        np.zeros(2 * gates * WIDTH, dtype=np.int64), np.zeros((2 * gates, WIDTH)),
    )  # fmt: skip


def _vessels(grid: FastGrid, state: FastState, told: Sequence[Told], filled: Sequence[int]) -> Floats:
    count, now = grid.gear.cell.size, state.gear
    table, stands = np.zeros((VESSEL_ROWS, count * WIDTH)), [told[one].vessels for one in filled]
    table[:V_SHARE] = grid.gear.vessels[..., filled].reshape(V_SHARE, -1)
    table[V_SHARE:V_LEVEL] = np.array(stands).reshape(WIDTH, count, V_LEVEL - V_SHARE).transpose(2, 1, 0).reshape(3, -1)
    for row, part in ((V_LEVEL, now.level), (V_BEFORE, now.before), (V_RUNNING, now.running), (V_BLOWING, now.blowing)):
        table[row] = part[:, filled].ravel()
    return table


def _distributors(grid: FastGrid, state: FastState, told: Sequence[Told], filled: Sequence[int]) -> Floats:
    count, now = grid.gear.place.size, state.gear
    table, stands = np.zeros((DISTRIBUTOR_ROWS, count * WIDTH)), [told[one].distributors for one in filled]
    table[:D_ISOLATED] = grid.gear.brakes[..., filled].reshape(D_ISOLATED, -1)
    table[D_ISOLATED:D_MODE] = np.array(stands).reshape(WIDTH, count, D_MODE - D_ISOLATED).transpose(2, 1, 0).reshape(4, -1)
    kept = (now.mode, now.auto, now.electric, now.aim, now.turned_at)
    for row, part in zip((D_MODE, D_AUTO, D_ELECTRIC, D_AIM, D_TURNED_AT), kept, strict=True):
        table[row] = part[:, filled].ravel()
    return table


def gear_left(wide: WideGear, lanes: int) -> GearState:
    """What the gear of the first lanes remembers."""
    vessel = wide.vessel.reshape(VESSEL_ROWS, -1, WIDTH)[..., :lanes]
    brake = wide.brake.reshape(DISTRIBUTOR_ROWS, -1, WIDTH)[..., :lanes]
    return GearState(
        vessel[V_LEVEL], vessel[V_BEFORE], brake[D_MODE], brake[D_AUTO], brake[D_ELECTRIC], brake[D_AIM], brake[D_TURNED_AT],
        vessel[V_RUNNING], vessel[V_BLOWING],
    )  # fmt: skip
