"""The fast solver: lumped pipe networks side by side from a state to a later one. Isothermal; for forecasts and exercises."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast_cells import sample, sample_gear
from headstock.physics.fast_gear import GearSet, GearState, gear_set, gear_work, modes_at_rest
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_march import BROKEN, ENDED, march_fast
from headstock.physics.fine_grid import ALMOST_SHUT, PerItem, valve_row
from headstock.physics.pipe_network import (
    SHUT,
    Change,
    GateSetting,
    Probe,
    ProbeKind,
    ValveSetting,
    checked_timeline,
)

FIRST_STEP_S, TOLERANCE_PA = 0.010, 200.0
"""First step after an event [s], and how far a step may miss the extrapolated pressures [Pa]: what the test of accuracy holds."""
ROWS = 4096
AN_END = 4
NUMBERED: dict[ProbeKind, int] = {"chamber": 1, "reservoir": 2, "cylinder": 3, "vessel": 5, "brake cylinder": 6}
T = TypeVar("T")
Gates = tuple[tuple[GateSetting, ...], ...]
Valves = tuple[tuple[ValveSetting, ...], ...]


@dataclass(frozen=True, slots=True)
class GearStart:
    """How the gear stands at first: vessel pressures [Pa] and cylinders [Pa, gauge], for all or what spreads to (number, lanes).

    Settings of vessels and distributors a lane; none: all of them plain.
    """

    vessel_pa: PerItem = 101325.0
    cylinder_pa: PerItem = 0.0
    electric_pa: PerItem = 0.0
    vessels: tuple[tuple[VesselSetting, ...], ...] = ()
    distributors: tuple[tuple[DistributorSetting, ...], ...] = ()


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
    vessels: tuple[tuple[VesselSetting, ...], ...]
    distributors: tuple[tuple[DistributorSetting, ...], ...]
    gear: GearState
    first_mass_kg: Floats


@dataclass(frozen=True, slots=True)
class Settings:
    """Between two changes: gate areas (0 shut, negative fully open), vents beside shut ones, rows of all valves."""

    gates: Floats
    vent_cell: Ints
    vents: Floats
    front: Floats
    rear: Floats
    inner: Floats
    gear: GearSet


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
    return GearState(level, level.copy(), mode, auto, electric, auto.copy(), np.zeros(vessels), np.zeros(vessels))


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
    stands = Stands.of(state)
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


def _lists(lanes: Sequence[Sequence[T]]) -> list[list[T]]:
    return [list(lane) for lane in lanes]


def _kept(lanes: Sequence[Sequence[T]]) -> tuple[tuple[T, ...], ...]:
    return tuple(tuple(lane) for lane in lanes)


@dataclass(slots=True)
class Stands:
    """How everything stands just now, a list a lane."""

    gates: list[list[GateSetting]]
    valves: list[list[ValveSetting]]
    vessels: list[list[VesselSetting]]
    distributors: list[list[DistributorSetting]]

    @classmethod
    def of(cls, state: FastState) -> Stands:
        """As in a state."""
        return cls(_lists(state.gates), _lists(state.valves), _lists(state.vessels), _lists(state.distributors))

    def cut_off(self) -> NDArray[np.bool_]:
        """Which distributors are cut off (nd, lanes)."""
        return np.array([[one.isolated for one in lane] for lane in self.distributors], dtype=bool).T

    def brought_to(self, lines: list[list[Change]], now_s: float) -> bool:
        """Everything due by now is set; whether anything was really changed."""
        changed = False
        for lane, line in enumerate(lines):
            while line and line[0].t_s <= now_s:
                change = line.pop(0)
                held = self._of(change.to, lane)
                changed = changed or held[change.number] != change.to
                held[change.number] = change.to
        return changed

    def _of(self, to: object, lane: int) -> list[Any]:
        """The list that a setting belongs to."""
        if isinstance(to, GateSetting):
            return self.gates[lane]
        if isinstance(to, VesselSetting):
            return self.vessels[lane]
        return self.distributors[lane] if isinstance(to, DistributorSetting) else self.valves[lane]


def settings_of(grid: FastGrid, stands: Stands) -> Settings:
    """The settings of a stretch as the kernel reads them."""
    count = len(grid.networks[0].gates)
    area, vents = np.empty((count, grid.lanes)), np.zeros((2 * count, grid.lanes))
    for lane, (network, settings) in enumerate(zip(grid.networks, stands.gates, strict=True)):
        for number, (gate, setting) in enumerate(zip(network.gates, settings, strict=True)):
            part = gate.area_m2 * setting.open
            area[number, lane] = -1.0 if setting.open >= 1.0 else part
            if setting.open <= ALMOST_SHUT:
                area[number, lane] = 0.0
                vents[2 * number : 2 * number + 2, lane] = setting.front_vent_m2, setting.rear_vent_m2

    def rows(number: int | None) -> Floats:
        return np.array([valve_row(SHUT if number is None else lane[number]) for lane in stands.valves]).T.copy()

    inner = np.array([rows(number) for number in grid.inner_valves]).reshape(-1, 6, grid.lanes)
    beside = np.repeat(grid.gate_face, 2) + np.tile(np.array([-1, 0]), count)
    used = vents.any(axis=1)
    gear = gear_set(stands.vessels, stands.distributors)
    return Settings(area, beside[used], vents[used], rows(grid.end_valves[0]), rows(grid.end_valves[1]), inner, gear)


def _probe_rows(grid: FastGrid, probes: Sequence[Probe]) -> Ints:
    """What each probe reads, and its number: a cell (0), a brake's vessel (1 to 3), an end (4), the gear (5, 6)."""
    rows = []
    for probe in probes:
        if probe.kind == "branch":
            rows.append((0, int(grid.brake_cell[probe.number])))
        elif probe.kind == "valve":
            rows.append((0, int(grid.valve_cell[grid.inner_valves.index(probe.number)])))
        elif probe.kind in NUMBERED:
            rows.append((NUMBERED[probe.kind], probe.number))
        else:
            rows.append((AN_END, 0 if probe.kind == "front" else 1))
    return np.array(rows, dtype=np.int64).reshape(-1, 2)


def _first_row(grid: FastGrid, which: Ints, now: list[Floats], cylinder: Floats, gear: GearState) -> Floats:
    row = np.empty((1, which.shape[0], grid.lanes))
    sample(which, now[0], now[1], grid.half, now[2], now[3], cylinder, row[0])
    sample_gear(which, gear, row[0])
    return row
