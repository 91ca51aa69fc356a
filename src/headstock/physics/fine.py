"""The fine solver: one pipe network from a state to a later one, with what its probes read on the way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fine_cells import CV
from headstock.physics.fine_faces import R
from headstock.physics.fine_grid import FineGrid, PerItem, full_array, openings_of, probe_rows
from headstock.physics.fine_march import BROKEN, ENDED, march
from headstock.physics.pipe_network import (
    Change,
    GasModel,
    GateSetting,
    Probe,
    ValveSetting,
    checked_timeline,
)

ROWS = 16_384
"""Samples between two returns from compiled code: a fraction of a second of work."""


@dataclass(frozen=True, slots=True)
class AirState:
    """All that the air remembers: cells (3, n) of density, momentum, energy; vessels (3, brakes); how all stands.

    Vessels: chamber [Pa], reservoir [Pa] (absolute), cylinder [Pa, gauge]. ``tally``: fed, let out, gone to cylinders [kg] and
    steps since the state was made still.
    """

    t_s: float
    cells: Floats
    vessels: Floats
    gates: tuple[GateSetting, ...]
    valves: tuple[ValveSetting, ...]
    tally: Floats
    first_mass_kg: float


@dataclass(frozen=True, slots=True)
class FineResult:
    """The state at the end, and readings [Pa, absolute] (samples, probes) at times [s]."""

    state: AirState
    t_s: Floats
    readings_pa: Floats
    mass_balance: float

    @property
    def steps(self) -> int:
        """Time steps since the state was made still."""
        return int(self.state.tally[3])

    def at(self, t_s: float, probe: int) -> float:
        """What a probe reads at a time, between samples in a straight line [Pa, absolute]."""
        return float(np.interp(t_s, self.t_s, self.readings_pa[:, probe]))


def still_air(
    grid: FineGrid, pipe_pa: PerItem, chamber_pa: PerItem, reservoir_pa: PerItem, cylinder_pa: PerItem,
    gates: Sequence[GateSetting] | None = None, valves: Sequence[ValveSetting] | None = None,
) -> AirState:  # fmt: skip
    """Air at rest and at the network's temperature; pressures [Pa] for all, or pipe per cell and vessels per brake."""
    network = grid.network
    count = len(network.brakes)
    cells = np.zeros((3, grid.cells))
    cells[0] = full_array(pipe_pa, grid.cells) / (R * network.ambient_k)
    cells[2] = cells[0] * CV * network.ambient_k
    vessels = np.zeros((3, count + 1))
    for row, value in enumerate((chamber_pa, reservoir_pa, cylinder_pa)):
        vessels[row, :count] = full_array(value, count)
    state = AirState(
        0.0, cells, vessels, tuple(gates or [GateSetting()] * len(network.gates)),
        tuple(valves or [ValveSetting()] * len(network.valves_at_m)), np.zeros(4), 0.0,
    )  # fmt: skip
    return replace(state, first_mass_kg=mass_kg(grid, state))


def mass_kg(grid: FineGrid, state: AirState) -> float:
    """Air in the pipe, the chambers and the reservoirs that the pipe feeds [kg]; cylinders are a place it goes to."""
    count = len(grid.network.brakes)
    rows = grid.brakes[:count]
    vessels = state.vessels[0, :count] * rows[:, 0] + state.vessels[1, :count] * rows[:, 2] * rows[:, 4]
    pipe = np.sum(state.cells[0] * grid.area_m2) * grid.cell_m
    return float(pipe + np.sum(vessels) / (R * grid.network.ambient_k))


def advance(
    grid: FineGrid, state: AirState, timeline: Sequence[Change], until_s: float, gas: GasModel, probes: Sequence[Probe] = (),
    sample_s: float = 0.0, on_progress: Callable[[float], None] | None = None,
) -> FineResult:  # fmt: skip
    """Go on from a state until a time [s], with gates and valves changed on the way.

    A probe is read at the start, after each step that reaches the next multiple of ``sample_s`` (0: every step), whenever
    something is changed, and at the end.
    Raises OutsideModelError when the numbers leave what a gas can be, naming the time.
    """
    changes = [change for change in checked_timeline(tuple(timeline)) if change.t_s <= until_s]
    gates, valves = list(state.gates), list(state.valves)
    cells, vessels, tally = state.cells.copy(), state.vessels.copy(), state.tally.copy()
    clock = np.array([state.t_s, state.t_s])
    times: list[Floats] = []
    rows: list[Floats] = []
    stops = sorted({change.t_s for change in changes if change.t_s > state.t_s} | {until_s})
    for stop in stops:
        for change in changes:
            if change.t_s <= clock[0]:
                _set(gates, valves, change)
        changes = [change for change in changes if change.t_s > clock[0]]
        openings = openings_of(grid, gates, valves)
        which = probe_rows(grid, openings, probes)
        cells_pa = _pressures_pa(cells, grid.network.ambient_k, gas)
        face_pa = _still_faces_pa(openings.faces, cells_pa)
        if not times:
            times.append(np.array([clock[0]]))
            rows.append(_first_row(which, cells_pa, face_pa, vessels, grid.network.atmosphere_pa))
        while True:
            t_buffer, buffer = np.empty(ROWS), np.empty((ROWS, len(probes)))
            why, written = march(
                cells, vessels, face_pa, tally, clock, stop, grid.cell_m, grid.bore_m, grid.area_m2, grid.wall_term,
                grid.loss_per_m, openings.edges, openings.faces, openings.gate_area, grid.brakes, openings.valves, which,
                sample_s, t_buffer, buffer, grid.network.ambient_k, gas == "heat-transfer",
            )  # fmt: skip
            times.append(t_buffer[:written].copy())
            rows.append(buffer[:written].copy())
            if why == BROKEN:
                raise OutsideModelError(f"the air leaves what a gas can be at {clock[0]:.3f} s")
            if on_progress is not None:
                on_progress(float(clock[0]))
            if why == ENDED:
                break
    for change in changes:
        _set(gates, valves, change)
    if gas == "isothermal":  # the kernels leave energy alone; a later stretch with heat transfer starts from it
        cells[2] = cells[0] * CV * grid.network.ambient_k + 0.5 * cells[1] ** 2 / cells[0]
    end = AirState(float(clock[0]), cells, vessels, tuple(gates), tuple(valves), tally, state.first_mass_kg)
    return FineResult(end, np.concatenate(times), np.concatenate(rows), _balance(grid, end))


def _set(gates: list[GateSetting], valves: list[ValveSetting], change: Change) -> None:
    if isinstance(change.to, GateSetting):
        gates[change.number] = change.to
    elif isinstance(change.to, ValveSetting):
        valves[change.number] = change.to
    else:
        raise OutsideModelError("the fine solver knows no vessels and no distributors")


def _balance(grid: FineGrid, state: AirState) -> float:
    """(final + out - in - initial) over the greater of initial and in."""
    fed, out, to_cylinders = state.tally[:3]
    return float((mass_kg(grid, state) + out + to_cylinders - fed - state.first_mass_kg) / max(state.first_mass_kg, fed))


def _pressures_pa(cells: Floats, ambient_k: float, gas: GasModel) -> Floats:
    """Static pressure of every cell [Pa]."""
    if gas == "isothermal":
        return np.asarray(cells[0] * R * ambient_k)
    with np.errstate(divide="ignore", invalid="ignore"):  # the first step refuses a cell that is no gas, by name
        return np.asarray((cells[2] - 0.5 * cells[1] ** 2 / cells[0]) * R / CV)


def _still_faces_pa(faces: Ints, cells_pa: Floats) -> Floats:
    """Pressures at faces before the first step of a stretch, for probes read at once: the mean of both sides [Pa]."""
    last = cells_pa.size - 1
    return np.array([0.5 * (cells_pa[max(face - 1, 0)] + cells_pa[min(face, last)]) for face in faces[:, 0]])


def _first_row(which: Ints, cells_pa: Floats, face_pa: Floats, vessels: Floats, outside_pa: float) -> Floats:
    """What the probes read before the first step; cylinders are kept as gauge pressure."""
    tables = (cells_pa, face_pa, vessels[0], vessels[1], vessels[2] + outside_pa)
    return np.array([[tables[kind][number] for kind, number in which]])
