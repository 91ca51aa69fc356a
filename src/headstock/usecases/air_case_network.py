"""From an air case to the pipe network it means, in SI units and absolute pressures: the one place that translates them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np

from headstock.physics.arrays import Floats
from headstock.physics.fast import still_air_fast
from headstock.physics.fast_grid import FastGrid, fast_grid_of
from headstock.physics.fast_state import FastState
from headstock.physics.fine import AirState, still_air
from headstock.physics.fine_grid import LONGEST_CELL_M, FineGrid, grid_of
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    Brake,
    Change,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    Probe,
    ProbeKind,
    ValveSetting,
    open_to_atmosphere,
)
from headstock.usecases.air_case_file import WHERE, AirCase, per_vehicle

DRIVERS_VALVE, REAR = 0, 1
_KINDS: dict[str, ProbeKind] = {
    "front": "front", "rear": "rear", "pipe": "branch", "aux": "reservoir", "cyl": "cylinder", "chamber": "chamber",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CaseRun:
    """What the fine solver needs of a case: where it begins, what happens when, what is read (``places`` name the probes)."""

    grid: FineGrid
    start: AirState
    timeline: tuple[Change, ...]
    places: tuple[str, ...]
    probes: tuple[Probe, ...]


@dataclass(frozen=True, slots=True)
class FastCaseRun:
    """The same for the fast solver, one lane."""

    grid: FastGrid
    start: FastState
    timeline: tuple[Change, ...]
    places: tuple[str, ...]
    probes: tuple[Probe, ...]


def pa_of(gauge_bar: float) -> float:
    """Absolute pressure [Pa] of a gauge pressure [bar] as the contract counts it.

    >>> pa_of(5.0)
    601325.0
    """
    return gauge_bar * 1e5 + ATMOSPHERE_PA


def air_run_of(case: AirCase) -> CaseRun:
    """The network of a case, its air at the start, what changes, what is read. Raises OutsideModelError if it is too large."""
    grid = grid_of(_network_of(case), _longest_cell_m(case))
    return CaseRun(grid, _start_of(case, grid), _timeline_of(case), *_read_of(case))


def fast_run_of(case: AirCase) -> FastCaseRun:
    """The same for the fast solver."""
    grid = fast_grid_of([_network_of(case)])
    return FastCaseRun(grid, _fast_start_of(case, grid), _timeline_of(case), *_read_of(case))


def _read_of(case: AirCase) -> tuple[tuple[str, ...], tuple[Probe, ...]]:
    """Places asked for, each once, and their probes."""
    places = tuple(dict.fromkeys(ask.where for ask in case.ask))
    return places, tuple(_probe_of(place) for place in places)


def _longest_cell_m(case: AirCase) -> float:
    """Half a metre, or less where vehicles are so short that a cock and a branch would come to lie on one face."""
    return min(LONGEST_CELL_M, case.pipe_length_m / 4.0, _pitch_m(case) / 6.0)


def _pitch_m(case: AirCase) -> float:
    return case.pipe_length_m + 2.0 * case.hose_length_m


def _bore_area_m2(case: AirCase) -> float:
    return pi / 4.0 * (case.bore_mm / 1e3) ** 2


def _network_of(case: AirCase) -> PipeNetwork:
    bore_m, roughness_m = case.bore_mm / 1e3, case.roughness_mm / 1e3
    hoses = Piece(2.0 * case.hose_length_m, bore_m, roughness_m, case.k_joint)
    vehicle = Piece(case.pipe_length_m, bore_m, roughness_m, case.k_vehicle)
    pieces = (vehicle, *(hoses, vehicle) * (case.vehicles - 1))
    gate_area_m2 = case.cock_cd * _bore_area_m2(case)
    gates = tuple(Gate(k * _pitch_m(case) - case.hose_length_m, gate_area_m2) for k in range(1, case.vehicles))
    ends = (0.0, sum(piece.length_m for piece in pieces))
    leaks_mm2 = per_vehicle(case.leak_mm2, case.vehicles)
    return PipeNetwork(pieces, gates, ends, tuple(_brake_of(case, k, leak) for k, leak in enumerate(leaks_mm2)), case.ambient_T_K)


def _brake_of(case: AirCase, vehicles_before: int, leak_mm2: float) -> Brake:
    return Brake(
        at_m=vehicles_before * _pitch_m(case) + case.pipe_length_m / 2.0,
        chamber_m3=case.chamber_l / 1e3,
        chamber_choke_m2=case.chamber_choke_mm2 / 1e6,
        reservoir_m3=case.aux_l / 1e3,
        reservoir_choke_m2=case.aux_choke_mm2 / 1e6,
        fed_by_pipe=not case.two_pipe,
        cylinder_m3=case.cylinder_l / 1e3,
        gain=case.cylinder_gain,
        cylinder_max_pa=case.cylinder_max_bar * 1e5,
        fill_s=case.tau_fill_s,
        release_s=case.tau_release_s,
        leak_area_m2=leak_mm2 / 1e6,
    )


def _start_of(case: AirCase, grid: FineGrid) -> AirState:
    """Air at rest."""
    middle_m = np.asarray((np.arange(grid.cells) + 0.5) * grid.cell_m, dtype=np.float64)
    return still_air(grid, _pipe_pa(case, middle_m), *_vessels_of(case), _gates_of(case))


def _fast_start_of(case: AirCase, grid: FastGrid) -> FastState:
    """Air at rest in the lumped cells."""
    middle_m = np.asarray(0.5 * (grid.edges_m[1:] + grid.edges_m[:-1]), dtype=np.float64)
    chamber, reservoir, cylinder = (np.array(values)[:, None] for values in _vessels_of(case))
    return still_air_fast(
        grid, _pipe_pa(case, middle_m)[:, None], chamber, reservoir, cylinder, (tuple(_gates_of(case)),), ((SHUT, SHUT),)
    )


def _pipe_pa(case: AirCase, at_m: Floats) -> Floats:
    """A vehicle's pipe pressure holds to the middle of the joints beside it."""
    vehicle = np.clip((at_m + case.hose_length_m) // _pitch_m(case), 0, case.vehicles - 1).astype(int)
    return np.asarray(np.array(_all_pa(case, case.initial_pipe_bar))[vehicle])


def _vessels_of(case: AirCase) -> tuple[Sequence[float], Sequence[float], Sequence[float]]:
    """Chambers, reservoirs [Pa, absolute] and cylinders [Pa, gauge] at the start."""
    pipe = _all_pa(case, case.initial_pipe_bar)
    chamber = pipe if case.initial_chamber_bar is None else _all_pa(case, case.initial_chamber_bar)
    reservoir = pipe if case.initial_aux_bar is None else _all_pa(case, case.initial_aux_bar)
    return chamber, reservoir, [bar * 1e5 for bar in per_vehicle(case.initial_cylinder_bar, case.vehicles)]


def _gates_of(case: AirCase) -> list[GateSetting]:
    return [GateSetting(case.cocks.get(str(joint), 1.0)) for joint in range(1, case.vehicles)]


def _all_pa(case: AirCase, bar: float | tuple[float, ...]) -> Sequence[float]:
    return [pa_of(one) for one in per_vehicle(bar, case.vehicles)]


def _timeline_of(case: AirCase) -> tuple[Change, ...]:
    """Everything that moves, by time; of two at one time the one written later holds."""
    changes = [Change(event.t, DRIVERS_VALVE, _valve_in(case, event.mode)) for event in case.valve]
    open_area_m2 = case.cock_cd * _bore_area_m2(case)
    changes += [Change(event.t, REAR, open_to_atmosphere(open_area_m2 * event.open)) for event in case.rear]
    changes += [Change(event.t, event.joint - 1, GateSetting(event.open)) for event in case.cock_events]
    return tuple(sorted(changes, key=lambda change: change.t_s))


def _valve_in(case: AirCase, mode: str) -> ValveSetting:
    """The driver's valve in one of its modes."""
    droop_pa = case.droop_bar * 1e5
    if mode == "running":
        return ValveSetting(supply_pa=pa_of(case.set_bar), feed_area_m2=case.area_running_mm2 / 1e6)
    if mode == "release":
        supply_pa, limit_pa = pa_of(case.main_reservoir_bar), pa_of(case.set_bar)
        return ValveSetting(supply_pa, case.area_release_mm2 / 1e6, limit_pa, droop_pa=droop_pa)
    if mode in ("service", "full"):
        limit_pa = pa_of(case.service_target_bar)
        return ValveSetting(exhaust_area_m2=case.area_service_mm2 / 1e6, exhaust_to_pa=limit_pa, droop_pa=droop_pa)
    if mode == "emergency":
        return ValveSetting(exhaust_area_m2=case.area_emergency_mm2 / 1e6)
    return ValveSetting()


def _probe_of(where: str) -> Probe:
    match = WHERE.fullmatch(where)
    assert match is not None
    end, vessel, number = match.groups()
    return Probe(_KINDS[end or vessel], int(number or 1) - 1)
