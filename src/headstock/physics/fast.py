"""The fast solver: lumped pipe networks side by side from a state to a later one. Isothermal; for forecasts and exercises."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fast_march import BROKEN, ENDED, march_fast
from headstock.physics.fine_faces import Floats
from headstock.physics.fine_grid import ALMOST_SHUT, full_array, valve_row
from headstock.physics.fine_march import Ints
from headstock.physics.pipe_network import SHUT, Change, GateSetting, Probe, ValveSetting, checked_timeline

FIRST_STEP_S, TOLERANCE_PA = 0.010, 150.0
ROWS = 4096


@dataclass(frozen=True, slots=True)
class FastState:
    """All that the air of a block remembers, with the level before (for the second-order formula) and the step control.

    ``clock``: time, step to come, last step (0 after an event), steps so far. Settings per lane.
    """

    clock: Floats
    now: tuple[Floats, ...]
    before: tuple[Floats, ...]
    cylinder: Floats
    gates: tuple[tuple[GateSetting, ...], ...]
    valves: tuple[tuple[ValveSetting, ...], ...]
    first_mass_kg: Floats


@dataclass(frozen=True, slots=True)
class FastResult:
    """The state at the end; readings [Pa, absolute] (samples, probes, lanes) at times [s]; mass balance a lane (relative)."""

    state: FastState
    t_s: Floats
    readings_pa: Floats
    mass_balance: Floats

    @property
    def steps(self) -> int:
        """Steps since the state was made still."""
        return int(self.state.clock[3])


def still_air_fast(
    grid: FastGrid, pipe_pa: Floats, chamber_pa: Floats, reservoir_pa: Floats, cylinder_pa: Floats,
    gates: Sequence[Sequence[GateSetting]], valves: Sequence[Sequence[ValveSetting]],
) -> FastState:  # fmt: skip
    """Air at rest: pressures [Pa] per cell and per brake, each (places, lanes) or what spreads to that."""
    n, lanes, count = grid.cells, grid.lanes, grid.brake_cell.size
    spread = lambda value, rows: np.array(np.broadcast_to(value, (rows, lanes)), dtype=np.float64)  # noqa: E731
    now = (spread(pipe_pa, n), np.zeros((n + 1, lanes)), spread(chamber_pa, count), spread(reservoir_pa, count), np.zeros((3, lanes)))
    state = FastState(
        np.array([0.0, FIRST_STEP_S, 0.0, 0.0]), now, tuple(a.copy() for a in now), spread(cylinder_pa, count),
        tuple(tuple(g) for g in gates), tuple(tuple(v) for v in valves), np.zeros(lanes),
    )  # fmt: skip
    return replace(state, first_mass_kg=mass_kg_fast(grid, state))


def mass_kg_fast(grid: FastGrid, state: FastState) -> Floats:
    """Air in pipe, chambers and reservoirs fed by the pipe [kg] per lane."""
    p, _, chamber, reservoir, _ = state.now
    vessels = chamber * grid.brakes[0] * (grid.brakes[11] > 0) + reservoir * grid.brakes[2] * grid.brakes[4]
    return np.asarray(np.sum(p * grid.cap, axis=0) + np.sum(vessels, axis=0) / grid.rt)


def advance_fast(
    grid: FastGrid, state: FastState, timelines: Sequence[Sequence[Change]], until_s: float, probes: Sequence[Probe] = (),
    tolerance_pa: float = TOLERANCE_PA, first_step_s: float = FIRST_STEP_S,
) -> FastResult:  # fmt: skip
    """Go on from a state until a time [s]; one timeline a lane. Raises OutsideModelError when a pressure leaves what air can have."""
    lines = [[c for c in checked_timeline(tuple(line)) if c.t_s <= until_s] for line in timelines]
    gates, valves = [list(g) for g in state.gates], [list(v) for v in state.valves]
    now, before, cylinder = [a.copy() for a in state.now], [a.copy() for a in state.before], state.cylinder.copy()
    clock = state.clock.copy()
    times: list[Floats] = [np.array([clock[0]])]
    rows = [_first_row(grid, now, cylinder, probes)]
    which = _probe_rows(grid, probes)
    stops = sorted({c.t_s for line in lines for c in line if c.t_s > clock[0]} | {until_s})
    for stop in stops:
        if _set(lines, gates, valves, clock[0]):
            clock[1], clock[2] = first_step_s, 0.0
        gate_area, ends, inner = _settings(grid, gates, valves)
        while True:
            size = ROWS if probes else 0
            t_buffer, buffer = np.empty(size), np.empty((size, len(probes), grid.lanes))
            why, written = march_fast(
                now[0], now[1], now[2], now[3], cylinder, now[4], before[0], before[1], before[2], before[3], before[4], clock,
                stop, first_step_s, tolerance_pa, grid.cap, grid.pull, grid.slim, grid.area, grid.reynolds_per_flow, grid.wall, grid.loss,
                grid.momentum, grid.branch, grid.half, grid.fit, grid.gate_face, gate_area, grid.brake_cell, grid.brakes,
                ends[0], ends[1], grid.valve_cell, inner, grid.rt, which, t_buffer, buffer,
            )  # fmt: skip
            times.append(t_buffer[:written].copy())
            rows.append(buffer[:written].copy())
            if why == BROKEN:
                raise OutsideModelError(f"a pressure leaves what air can have at {clock[0]:.3f} s")
            if why == ENDED:
                break
    _set(lines, gates, valves, clock[0])
    end = FastState(clock, tuple(now), tuple(before), cylinder, tuple(map(tuple, gates)), tuple(map(tuple, valves)),
                    state.first_mass_kg)  # fmt: skip
    fed, out, spent = now[4]
    balance = (mass_kg_fast(grid, end) + out + spent - fed - state.first_mass_kg) / np.maximum(state.first_mass_kg, fed)
    return FastResult(end, np.concatenate(times), np.concatenate(rows), balance)


def _set(lines: list[list[Change]], gates: list[list[GateSetting]], valves: list[list[ValveSetting]], now_s: float) -> bool:
    changed = False
    for lane, line in enumerate(lines):
        while line and line[0].t_s <= now_s:
            change = line.pop(0)
            kept: list[GateSetting] | list[ValveSetting] = gates[lane] if isinstance(change.to, GateSetting) else valves[lane]
            changed = changed or kept[change.number] != change.to
            kept[change.number] = change.to  # type: ignore[call-overload]
    return changed


def _settings(
    grid: FastGrid, gates: list[list[GateSetting]], valves: list[list[ValveSetting]]
) -> tuple[Floats, tuple[Floats, Floats], Floats]:
    """Gate areas (0 shut, negative fully open), rows of the two end valves, rows of those inside."""
    area = np.empty((len(grid.networks[0].gates), grid.lanes))
    for lane, (network, settings) in enumerate(zip(grid.networks, gates, strict=True)):
        for number, (gate, setting) in enumerate(zip(network.gates, settings, strict=True)):
            part = 0.0 if setting.open <= ALMOST_SHUT else gate.area_m2 * setting.open
            area[number, lane] = -1.0 if setting.open >= 1.0 else part

    def rows(number: int | None) -> Floats:
        return np.array([valve_row(SHUT if number is None else lane[number]) for lane in valves]).T.copy()

    inner = np.array([rows(number) for number in grid.inner_valves]).reshape(-1, 6, grid.lanes)
    return area, (rows(grid.end_valves[0]), rows(grid.end_valves[1])), inner


def _probe_rows(grid: FastGrid, probes: Sequence[Probe]) -> Ints:
    vessel = {"chamber": 1, "reservoir": 2, "cylinder": 3}
    rows = []
    for probe in probes:
        if probe.kind == "front":
            rows.append((0, 0))
        elif probe.kind == "rear":
            rows.append((0, grid.cells - 1))
        elif probe.kind == "branch":
            rows.append((0, int(grid.brake_cell[probe.number])))
        elif probe.kind == "valve":
            rows.append((0, int(grid.valve_cell[grid.inner_valves.index(probe.number)])))
        else:
            rows.append((vessel[probe.kind], probe.number))
    return np.array(rows, dtype=np.int64).reshape(-1, 2)


def _first_row(grid: FastGrid, now: list[Floats], cylinder: Floats, probes: Sequence[Probe]) -> Floats:
    from headstock.physics.pipe_network import ATMOSPHERE_PA

    tables = (now[0], now[2], now[3], cylinder + ATMOSPHERE_PA)
    rows = [tables[kind][number] for kind, number in _probe_rows(grid, probes)]
    return np.array(rows).reshape(1, len(probes), grid.lanes)


__all__ = ["FastResult", "FastState", "advance_fast", "full_array", "mass_kg_fast", "still_air_fast"]
