"""The fast solver: lumped pipe networks side by side from a state to a later one. Isothermal; for forecasts and exercises."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast_eights import march_together
from headstock.physics.fast_gear import GearState, modes_at_rest
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_readings import (
    A_BRAKE_CYLINDER,
    A_CELL,
    A_CHAMBER,
    A_CYLINDER,
    A_RESERVOIR,
    A_VESSEL,
    AN_END,
)
from headstock.physics.fast_seats import march_lane, side_by_side, state_of
from headstock.physics.fast_settings import Distributors, Gates, Stands, Told, Valves, Vessels, ports_of, told_of
from headstock.physics.fast_state import FastState, Steps
from headstock.physics.fine_grid import PerItem
from headstock.physics.pipe_network import (
    Change,
    Probe,
    ProbeKind,
    checked_timeline,
)

CLOSE_STEPS = Steps(0.010, 200.0, 2.0)
"""What the test of accuracy holds."""
MANY_STEPS = Steps(0.0175, 250.0, 4.0)
"""For scenarios in thousands: a third fewer steps, hardly further from the fine solver; held by the same test."""
NUMBERED: dict[ProbeKind, int] = {
    "chamber": A_CHAMBER,
    "reservoir": A_RESERVOIR,
    "cylinder": A_CYLINDER,
    "vessel": A_VESSEL,
    "brake cylinder": A_BRAKE_CYLINDER,
}


@dataclass(frozen=True, slots=True)
class GearStart:
    """How the gear stands at first: vessel pressures [Pa] and cylinders [Pa, gauge], for all or what spreads to (number, lanes);
    vessels of which nothing is said stand at the atmosphere's.

    Settings of vessels and distributors a lane; none: all of them plain.
    """

    vessel_pa: PerItem | None = None
    cylinder_pa: PerItem = 0.0
    electric_pa: PerItem = 0.0
    vessels: Vessels = ()
    distributors: Distributors = ()


PLAIN = GearStart()


@dataclass(frozen=True, slots=True)
class FastResult:
    """The state at the end; readings [Pa, absolute] (samples, probes, lanes) at times [s]; mass balance a lane (relative).

    Samples stand at the ends of steps: between them a straight line is as good as the steps themselves. Each lane has its own
    steps: times are (samples,) of one lane, (samples, lanes) of several; a lane with fewer repeats its last sample.
    """

    state: FastState
    t_s: Floats
    readings_pa: Floats
    mass_balance: Floats

    def times_of(self, lane: int) -> Floats:
        """The times [s] of a lane's samples."""
        return self.t_s if self.t_s.ndim == 1 else self.t_s[:, lane]

    @property
    def steps(self) -> int:
        """Steps since the state was made still, of the lane with most."""
        return int(self.state.clock[3].max())

    @property
    def lane_steps(self) -> Ints:
        """The same of each lane."""
        return np.asarray(self.state.clock[3], dtype=np.int64)


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
    clock = np.repeat([[0.0], [CLOSE_STEPS.first_s], [0.0], [0.0]], lanes, axis=1)
    before = tuple(level.copy() for level in now)
    first = grid.networks[0].gear
    vessels = gear.vessels or ((VesselSetting(),) * len(first.vessels),) * lanes
    distributors = gear.distributors or ((DistributorSetting(),) * len(first.distributors),) * lanes
    state = FastState(
        clock, now, before, _spread(cylinder_pa, count, lanes), np.zeros((count, lanes)), np.zeros((grid.cells, lanes)), gates,
        valves, vessels, distributors, _gear_at_first(grid, now[0], gear), np.zeros(lanes),
    )  # fmt: skip
    return replace(state, first_mass_kg=mass_kg_fast(grid, state))


def _gear_at_first(grid: FastGrid, pipe: Floats, start: GearStart) -> GearState:
    """Every distributor in the mode that its reference and the pipe ask for."""
    vessels, brakes = grid.gear.vessels.shape[1:], grid.gear.brakes.shape[1:]
    level = _spread(grid.outside_pa if start.vessel_pa is None else start.vessel_pa, *vessels)
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
    return np.asarray(np.sum(pipe * grid.cap, axis=0) + np.sum(vessels, axis=0) / grid.rt_of_lane + geared)


def advance_fast(
    grid: FastGrid, state: FastState, timelines: Sequence[Sequence[Change]], until_s: float, probes: Sequence[Probe] = (),
    steps: Steps = CLOSE_STEPS,
) -> FastResult:  # fmt: skip
    """Go on from a state until a time [s]; one timeline a lane. Readings at the start and after each step.

    Raises OutsideModelError when a pressure leaves what air can have, naming the time.
    """
    stands = Stands.of(state.gates, state.valves, state.vessels, state.distributors)
    which = _probe_rows(grid, probes)
    told = _all_told(grid, state, stands, timelines, until_s)
    if len(told) > 1:
        lanes = march_together(grid, state, told, until_s, steps, which)
    else:
        lanes = [march_lane(grid, state, lane, one, until_s, steps, which) for lane, one in enumerate(told)]
    whole = side_by_side(lanes)
    end = state_of(state, whole, stands)
    fed, out, spent = end.now[4]
    gap_kg = mass_kg_fast(grid, end) + out + spent - fed - state.first_mass_kg
    t_s = whole.t_s[:, 0] if grid.lanes == 1 else whole.t_s
    return FastResult(end, t_s, whole.readings_pa, gap_kg / np.maximum(state.first_mass_kg, fed))


def _all_told(grid: FastGrid, state: FastState, stands: Stands, lines: Sequence[Sequence[Change]], until_s: float) -> list[Told]:
    """Of every lane how it stands and what changes; lanes that stand and change by the very same are told once."""
    ports, first, told = ports_of(grid), dict[tuple[object, ...], int](), list[Told]()
    for lane, line in enumerate(lines):
        network = grid.networks[lane]
        by = (state.gates[lane], state.valves[lane], state.vessels[lane], state.distributors[lane], line, network.gates)
        like = first.setdefault((network.atmosphere_pa, *map(id, by)), lane)
        if like == lane:
            told.append(told_of(grid, ports, stands, lane, _due(line, until_s)))
        else:
            told.append(told[like])
            stands.as_lane(lane, like)
    return told


def _due(line: Sequence[Change], until_s: float) -> list[Change]:
    """What changes until a time."""
    return [change for change in checked_timeline(tuple(line)) if change.t_s <= until_s]


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
