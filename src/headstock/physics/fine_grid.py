"""From a pipe network to cells and faces, and from the settings of its gates and valves to what the kernels read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

import numpy as np
from scipy.optimize import isotonic_regression

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import NO_GEAR
from headstock.physics.fine_march import BRANCH, CUT, GATE
from headstock.physics.friction import roughness_term
from headstock.physics.pipe_network import SHUT, Brake, GateSetting, PipeNetwork, Probe, ValveSetting, open_to_atmosphere

LONGEST_CELL_M = 0.5
MOST_CELLS = 200_000
ALMOST_SHUT = 1e-6
PerItem = float | Sequence[float] | Floats
"""One number for all, or one per item."""


@dataclass(frozen=True, slots=True)
class FineGrid:
    """Cells of equal length, and which face carries what. ``brake_face`` and the like are face numbers."""

    network: PipeNetwork
    cell_m: float
    bore_m: Floats
    area_m2: Floats
    wall_term: Floats
    loss_per_m: Floats
    brakes: Floats
    brake_face: tuple[int, ...]
    valve_face: tuple[int, ...]
    gate_face: tuple[int, ...]
    steps_of_bore: tuple[int, ...]

    @property
    def cells(self) -> int:
        """How many cells."""
        return int(self.bore_m.size)


@dataclass(frozen=True, slots=True)
class Openings:
    """What the kernels read of the settings: cells at blocked faces, special faces, gate areas [m2], rows of valves."""

    edges: Ints
    faces: Ints
    gate_area: Floats
    valves: Floats


def grid_of(network: PipeNetwork, longest_cell_m: float = LONGEST_CELL_M) -> FineGrid:
    """Cells no longer than asked. Raises OutsideModelError when that makes too many, or two things fall on one face."""
    if network.gear != NO_GEAR:
        raise OutsideModelError("the fine solver knows no vessels and no distributors: take the fast one")
    length_m = network.length_m
    if not 0.0 < length_m / longest_cell_m <= MOST_CELLS:
        raise OutsideModelError(f"pipe of {length_m:g} m in cells of {longest_cell_m:g} m: more than {MOST_CELLS} cells")
    count = max(8, ceil(length_m / longest_cell_m - 1e-9))
    cell_m = length_m / count
    middle = (np.arange(count) + 0.5) * cell_m
    ends = np.cumsum([piece.length_m for piece in network.pieces])
    of_piece = np.minimum(np.searchsorted(ends, middle), len(network.pieces) - 1)
    bore = np.array([piece.bore_m for piece in network.pieces])[of_piece]
    terms = np.array([roughness_term(piece.roughness_m / piece.bore_m) for piece in network.pieces])
    brakes, valves, gates = _faces_of(network, count, cell_m)
    return FineGrid(
        network, cell_m, bore, np.pi / 4.0 * bore**2, terms[of_piece], _spread_losses(network, count, cell_m),
        np.array([*([*brake_row(brake), brake.gives_back_pa] for brake in network.brakes), [0.0] * 12]), brakes, valves, gates,
        tuple(int(i) + 1 for i in np.nonzero(np.diff(bore))[0]),
    )  # fmt: skip


def brake_row(brake: Brake) -> list[float]:
    """A brake as the kernels read it (the order of its figures: ``fine_faces``)."""
    return [brake.chamber_m3, brake.chamber_choke_m2, brake.reservoir_m3, brake.reservoir_choke_m2, float(brake.fed_by_pipe),
            brake.leak_area_m2, brake.cylinder_m3, brake.gain, brake.cylinder_max_pa, brake.fill_s, brake.release_s]  # fmt: skip


def _spread_losses(network: PipeNetwork, count: int, cell_m: float) -> Floats:
    """Loss per metre of each cell by exact overlap, so that the sum never depends on the grid."""
    edges = np.arange(count + 1) * cell_m
    places = np.concatenate(([0.0], np.cumsum([piece.length_m for piece in network.pieces])))
    sums = np.concatenate(([0.0], np.cumsum([piece.loss for piece in network.pieces])))
    return np.asarray(np.diff(np.interp(edges, places, sums)) / cell_m)


def _faces_of(network: PipeNetwork, count: int, cell_m: float) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
    """Faces of brakes, valves and gates: near their places, no two on one, and in the order in which they stand.

    A valve behind a gate must stay behind it, however coarse the cells: before it, it would never be shut off.
    """
    at_ends = {number: 0 if at_m <= 0.0 else count for number, at_m in enumerate(network.valves_at_m) if network.is_axial(number)}
    gates = [gate.at_m for gate in network.gates]
    valves = [at_m for number, at_m in enumerate(network.valves_at_m) if number not in at_ends]
    brakes = [brake.at_m for brake in network.brakes]
    inner = _in_order(np.array([*gates, *valves, *brakes]) / cell_m, count)
    of_gates, of_valves, of_brakes = np.split(inner, [len(gates), len(gates) + len(valves)])
    rest = iter(of_valves.tolist())
    return (tuple(of_brakes.tolist()), tuple(at_ends[number] if number in at_ends else next(rest)
            for number in range(len(network.valves_at_m))), tuple(of_gates.tolist()))  # fmt: skip


def _in_order(wishes: Floats, count: int) -> Ints:
    """Inner faces for places [cells from the front]: as near as may be in all (least squares), each with one of its own."""
    if wishes.size > count - 1:
        raise OutsideModelError(f"more gates, valves and brakes than the {count} cells of the pipe have places for")
    if not wishes.size:
        return np.empty(0, dtype=np.int64)
    order, rank = np.argsort(wishes, kind="stable"), np.arange(wishes.size)
    # A face less its rank may stay where it is but never fall: so places in order become faces one after the other.
    apart = np.round(isotonic_regression(np.round(wishes[order]) - rank).x)
    faces = np.empty(wishes.size, dtype=np.int64)
    faces[order] = np.clip(apart, 1, count - wishes.size).astype(np.int64) + rank
    return faces


def openings_of(grid: FineGrid, gates: Sequence[GateSetting], valves: Sequence[ValveSetting]) -> Openings:
    """The settings as the kernels read them."""
    rows, outside_pa = [valve_row(SHUT)], grid.network.atmosphere_pa
    axial: dict[int, int] = {}
    faces: dict[int, list[int]] = {}
    no_brake = len(grid.network.brakes)
    areas: dict[int, float] = {}
    for number, face in enumerate(grid.brake_face):
        faces[face] = [face, BRANCH, number, 0, 0]
    for face, setting in zip(grid.valve_face, valves, strict=True):
        rows.append(valve_row(setting))
        if face in (0, grid.cells):
            axial[face] = len(rows) - 1
        else:
            faces[face] = [face, BRANCH, no_brake, len(rows) - 1, 0]
    for face in grid.steps_of_bore:
        faces.setdefault(face, [face, BRANCH, no_brake, 0, 0])
    for face, gate, gate_setting in zip(grid.gate_face, grid.network.gates, gates, strict=True):
        entry = _gate_entry(face, gate_setting, rows, no_brake, outside_pa)
        if entry is not None:
            faces[face] = entry
            areas[face] = gate.area_m2 * gate_setting.open
    faces[0] = [0, CUT, no_brake, 0, axial.get(0, 0)]
    faces[grid.cells] = [grid.cells, CUT, no_brake, axial.get(grid.cells, 0), 0]
    order = sorted(faces)
    blocked = [face for face in order if faces[face][1] != BRANCH or face in grid.steps_of_bore]
    return Openings(
        _edges(blocked), np.array([faces[face] for face in order], dtype=np.int64),
        np.array([areas.get(face, 0.0) for face in order]), np.array([[*row, outside_pa] for row in rows]),
    )  # fmt: skip


def _gate_entry(
    face: int, setting: GateSetting, rows: list[list[float]], no_brake: int, outside_pa: float
) -> list[int] | None:  # fmt: skip
    if setting.open >= 1.0:
        return None
    if setting.open > ALMOST_SHUT:
        return [face, GATE, no_brake, 0, 0]
    numbers = []
    for vent in (setting.front_vent_m2, setting.rear_vent_m2):
        rows.append(valve_row(open_to_atmosphere(vent, outside_pa)))
        numbers.append(len(rows) - 1)
    return [face, CUT, no_brake, *numbers]


def valve_row(setting: ValveSetting) -> list[float]:
    """A valve as the kernels read it (the order of its figures: ``fine_faces``), all but the last: the atmosphere."""
    return [setting.supply_pa, setting.feed_area_m2, setting.feed_to_pa, setting.exhaust_area_m2, setting.exhaust_to_pa,
            setting.droop_pa]  # fmt: skip


def _edges(blocked: Sequence[int]) -> Ints:
    """Cells beside blocked faces and which way their slope looks: 1 onward, -1 back, 0 none where the stretch is short."""
    edges = []
    for first, last in pairwise(blocked):
        if last - first >= 3:
            edges += [(first, 1), (last - 1, -1)]
        else:
            edges += [(cell, 0) for cell in range(first, last)]
    return np.array(edges, dtype=np.int64).reshape(-1, 2)


def probe_rows(grid: FineGrid, openings: Openings, probes: Sequence[Probe]) -> Ints:
    """Probes as the kernel reads them: what to read, and its number."""
    place: Mapping[int, int] = {int(row[0]): number for number, row in enumerate(openings.faces)}
    vessel = {"chamber": 2, "reservoir": 3, "cylinder": 4}
    rows = []
    for probe in probes:
        if probe.kind == "front":
            rows.append((0, 0))
        elif probe.kind == "rear":
            rows.append((0, grid.cells - 1))
        elif probe.kind == "branch":
            rows.append((1, place[grid.brake_face[probe.number]]))
        elif probe.kind == "valve":
            rows.append((1, place[grid.valve_face[probe.number]]))
        else:
            rows.append((vessel[probe.kind], probe.number))
    return np.array(rows, dtype=np.int64).reshape(-1, 2)


def full_array(value: PerItem, count: int) -> Floats:
    """One number or one per item as an array of its own."""
    return np.array(np.broadcast_to(np.asarray(value, dtype=np.float64), (count,)))
