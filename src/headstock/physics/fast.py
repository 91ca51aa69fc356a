"""The fast solver: lumped pipe networks side by side from a state to a later one. Isothermal; for forecasts and exercises."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast_gear import GearState, gear_work, modes_at_rest
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_march import BROKEN, ENDED, march_fast
from headstock.physics.fast_readings import (
    A_BRAKE_CYLINDER,
    A_CELL,
    A_CHAMBER,
    A_CYLINDER,
    A_RESERVOIR,
    A_VESSEL,
    AN_END,
    sample,
)
from headstock.physics.fast_settings import Distributors, Gates, Settings, Stands, Valves, Vessels, settings_of
from headstock.physics.fine_grid import PerItem
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    Change,
    Probe,
    ProbeKind,
    checked_timeline,
)

FIRST_STEP_S, TOLERANCE_PA = 0.010, 200.0
"""First step after an event [s], and how far a step may miss the extrapolated pressures [Pa]: what the test of accuracy holds."""
ROWS = 4096
NUMBERED: dict[ProbeKind, int] = {
    "chamber": A_CHAMBER,
    "reservoir": A_RESERVOIR,
    "cylinder": A_CYLINDER,
    "vessel": A_VESSEL,
    "brake cylinder": A_BRAKE_CYLINDER,
}
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class GearStart:
    """How the gear stands at first: vessel pressures [Pa] and cylinders [Pa, gauge], for all or what spreads to (number, lanes).

    Settings of vessels and distributors a lane; none: all of them plain.
    """

    vessel_pa: PerItem = ATMOSPHERE_PA
    cylinder_pa: PerItem = 0.0
    electric_pa: PerItem = 0.0
    vessels: Vessels = ()
    distributors: Distributors = ()


PLAIN = GearStart()


@dataclass(frozen=True, slots=True)
class FastState:
    """All that the air of a block remembers, with the level before (for the second-order formula) and the step control.

    ``clock``: time [s], step to come [s], last step [s] (0 after an event), steps so far. ``now`` and ``before``: pressures [Pa]
    (cells, lanes), flows [kg/s] (faces, lanes), chambers and reservoirs [Pa] (brakes, lanes), tally [kg] (fed, let out, to
    cylinders; lanes). ``cylinder`` [Pa, gauge] (brakes, lanes), ``drawn`` [kg/s] by branches in the last step (cells, lanes).
    Settings of gates, valves, vessels and distributors a lane; ``gear``: what vessels and distributors remember.
    """

    clock: Floats
    now: tuple[Floats, ...]
    before: tuple[Floats, ...]
    cylinder: Floats
    drawn: Floats
    gates: Gates
    valves: Valves
    vessels: Vessels
    distributors: Distributors
    gear: GearState
    first_mass_kg: Floats


@dataclass(frozen=True, slots=True)
class FastResult:
    """The state at the end; readings [Pa, absolute] (samples, probes, lanes) at times [s]; mass balance a lane (relative).

    Samples stand at the ends of steps: between them a straight line is as good as the steps themselves.
    """

    state: FastState
    t_s: Floats
    readings_pa: Floats
    mass_balance: Floats

    @property
    def steps(self) -> int:
        """Steps since the state was made still."""
        return int(self.state.clock[3])


def still_air_fast(
    grid: FastGrid,
    pipe_pa: PerItem,
    chamber_pa: PerItem,
    reservoir_pa: PerItem,
    cylinder_pa: PerItem,
    gates: Gates,
    valves: Valves,
    gear: GearStart = PLAIN,
) -> FastState:
    """Air at rest: pressures [Pa] for all, or what spreads to (cells, lanes) and (brakes, lanes); cylinders [Pa, gauge]."""
    count, lanes = grid.brake_cell.size, grid.lanes
    now = (
        _spread(pipe_pa, grid.cells, lanes), np.zeros((grid.cells + 1, lanes)), _spread(chamber_pa, count, lanes),
        _spread(reservoir_pa, count, lanes), np.zeros((3, lanes)),
    )  # fmt: skip
    clock = np.array([0.0, FIRST_STEP_S, 0.0, 0.0])
    before = tuple(level.copy() for level in now)
    first = grid.networks[0].gear
    vessels = gear.vessels or ((VesselSetting(),) * len(first.vessels),) * lanes
    distributors = gear.distributors or ((DistributorSetting(),) * len(first.distributors),) * lanes
    state = FastState(
        clock, now, before, _spread(cylinder_pa, count, lanes), np.zeros((grid.cells, lanes)), gates, valves, vessels,
        distributors, _gear_at_first(grid, now[0], gear), np.zeros(lanes),
    )  # fmt: skip
    return replace(state, first_mass_kg=mass_kg_fast(grid, state))


def _gear_at_first(grid: FastGrid, pipe: Floats, start: GearStart) -> GearState:
    """Every distributor in the mode that its reference and the pipe ask for."""
    vessels, brakes = grid.gear.vessels.shape[1:], grid.gear.brakes.shape[1:]
    level = _spread(start.vessel_pa, *vessels)
    auto, electric = _spread(start.cylinder_pa, *brakes), _spread(start.electric_pa, *brakes)
    mode = modes_at_rest(grid.gear, level, pipe)
    return GearState(
        level, level.copy(), mode, auto, electric, auto.copy(), pipe[grid.gear.place], np.zeros(vessels), np.zeros(vessels)
    )


def _spread(value: PerItem, rows: int, lanes: int) -> Floats:
    return np.array(np.broadcast_to(np.asarray(value, dtype=np.float64), (rows, lanes)))


def mass_kg_fast(grid: FastGrid, state: FastState) -> Floats:
    """Air in pipe, chambers and reservoirs fed by the pipe [kg] per lane."""
    pipe, _, chamber, reservoir, _ = state.now
    vessels = chamber * grid.brakes[0] * (grid.brakes[11] > 0.0) + reservoir * grid.brakes[2] * grid.brakes[4]
    geared = np.sum(state.gear.level * grid.gear.vessels[0], axis=0)
    return np.asarray(np.sum(pipe * grid.cap, axis=0) + np.sum(vessels, axis=0) / grid.rt + geared)


def advance_fast(
    grid: FastGrid, state: FastState, timelines: Sequence[Sequence[Change]], until_s: float, probes: Sequence[Probe] = (),
    tolerance_pa: float = TOLERANCE_PA, first_step_s: float = FIRST_STEP_S,
) -> FastResult:  # fmt: skip
    """Go on from a state until a time [s]; one timeline a lane. Readings at the start and after each step.

    Raises OutsideModelError when a pressure leaves what air can have, naming the time.
    """
    lines = [[change for change in checked_timeline(tuple(line)) if change.t_s <= until_s] for line in timelines]
    stands = Stands.of(state.gates, state.valves, state.vessels, state.distributors)
    now, before = [level.copy() for level in state.now], [level.copy() for level in state.before]
    cylinder, drawn, clock = state.cylinder.copy(), state.drawn.copy(), state.clock.copy()
    gear = GearState(*(part.copy() for part in state.gear))
    which = _probe_rows(grid, probes)
    times, rows = [np.array([clock[0]])], [_first_row(grid, which, now, cylinder, gear)]
    for stop in sorted({change.t_s for line in lines for change in line if change.t_s > clock[0]} | {until_s}):
        _bring(grid, stands, lines, clock, gear, now[0], first_step_s)
        settings = settings_of(grid, stands)
        _stretch(grid, settings, now, before, cylinder, drawn, gear, clock, stop, tolerance_pa, first_step_s, which, times, rows)
    _bring(grid, stands, lines, clock, gear, now[0], first_step_s)
    end = FastState(clock, tuple(now), tuple(before), cylinder, drawn, _kept(stands.gates), _kept(stands.valves),
                    _kept(stands.vessels), _kept(stands.distributors), gear, state.first_mass_kg)  # fmt: skip
    fed, out, spent = now[4]
    gap_kg = mass_kg_fast(grid, end) + out + spent - fed - state.first_mass_kg
    return FastResult(end, np.concatenate(times), np.concatenate(rows), gap_kg / np.maximum(state.first_mass_kg, fed))


def _bring(
    grid: FastGrid, stands: Stands, lines: list[list[Change]], clock: Floats, gear: GearState, pipe: Floats, first_step_s: float
) -> None:  # fmt: skip
    """All that is due by now is set. A distributor cut in again takes the mode that its reference and the pipe ask for."""
    off = stands.cut_off()
    if stands.brought_to(lines, clock[0]):
        clock[1], clock[2] = first_step_s, 0.0
        gear.mode[...] = np.where(off & ~stands.cut_off(), modes_at_rest(grid.gear, gear.level, pipe), gear.mode)


def _stretch(
    grid: FastGrid, settings: Settings, now: list[Floats], before: list[Floats], cylinder: Floats, drawn: Floats,
    gear: GearState, clock: Floats, stop_s: float,
    tolerance_pa: float, first_step_s: float, which: Ints, times: list[Floats], rows: list[Floats],
) -> None:  # fmt: skip
    """From one change of settings to the next; levels and clock are changed in place, samples added."""
    size = ROWS if which.shape[0] else 0
    room = gear_work(grid.gear)
    while True:
        t_buffer, buffer = np.empty(size), np.empty((size, which.shape[0], grid.lanes))
        why, written = march_fast(
            now[0], now[1], now[2], now[3], cylinder, now[4], before[0], before[1], before[2], before[3], before[4], clock,
            stop_s, first_step_s, tolerance_pa, grid.cap, grid.pull, grid.slim, grid.area, grid.reynolds_per_flow, grid.wall,
            grid.loss, grid.momentum, grid.branch, grid.half, grid.fit, grid.gate_face, settings.gates, settings.vent_cell,
            settings.vents, grid.brake_cell, grid.brakes, settings.front, settings.rear, grid.valve_cell, settings.inner, grid.rt,
            drawn, grid.gear, settings.gear, gear, room, which, t_buffer, buffer,
        )  # fmt: skip
        times.append(t_buffer[:written].copy())
        rows.append(buffer[:written].copy())
        if why == BROKEN:
            raise OutsideModelError(f"a pressure leaves what air can have at {clock[0]:.3f} s")
        if why == ENDED:
            return


def _kept(lanes: Sequence[Sequence[T]]) -> tuple[tuple[T, ...], ...]:
    return tuple(tuple(lane) for lane in lanes)


def _probe_rows(grid: FastGrid, probes: Sequence[Probe]) -> Ints:
    """What each probe reads, and its number."""
    rows = []
    for probe in probes:
        if probe.kind == "branch":
            rows.append((A_CELL, int(grid.brake_cell[probe.number])))
        elif probe.kind == "valve":
            rows.append((A_CELL, int(grid.valve_cell[grid.inner_valves.index(probe.number)])))
        elif probe.kind in NUMBERED:
            rows.append((NUMBERED[probe.kind], probe.number))
        else:
            rows.append((AN_END, 0 if probe.kind == "front" else 1))
    return np.array(rows, dtype=np.int64).reshape(-1, 2)


def _first_row(grid: FastGrid, which: Ints, now: list[Floats], cylinder: Floats, gear: GearState) -> Floats:
    row = np.empty((1, which.shape[0], grid.lanes))
    sample(which, now[0], now[1], grid.half, now[2], now[3], cylinder, gear, row[0])
    return row
