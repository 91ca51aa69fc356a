"""From pipe networks of one shape to the lumped cells of the fast solver, one lane a network."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import Gear
from headstock.physics.fast_gear import GearArrays, gear_arrays
from headstock.physics.fast_layout import CAP, PULL, SLIM
from headstock.physics.fine_faces import R
from headstock.physics.fine_grid import brake_row
from headstock.physics.friction import darcy_factor_of_term, roughness_term
from headstock.physics.gas import viscosity_pa_s
from headstock.physics.pipe_network import Brake, Piece, PipeNetwork

CELLS_A_BRAKE = 3
LONGEST_BARE_M = 8.0
"""Longest cell where no brake hangs on the pipe."""
FIT_RE = np.geomspace(4e3, 2e6, 200)
END_RE = 1e5
"""Where the friction of the half cell before an end is taken."""


@dataclass(frozen=True, slots=True)
class FastGrid:
    """Cells of a block of networks; arrays are [place][lane]. ``edges_m`` are those of the first network.

    ``columns`` (rows, cells, lanes): what the stepping reads of them (``fast_layout``), faces with the cell before them.
    ``outside_pa`` (lanes,): the atmosphere; ``rt`` of the first lane, ``rt_of_lane`` (lanes,).
    """

    networks: tuple[PipeNetwork, ...]
    edges_m: Floats
    cap: Floats
    pull: Floats
    slim: Floats
    area: Floats
    reynolds_per_flow: Floats
    wall: Floats
    loss: Floats
    momentum: Floats
    branch: Floats
    half: Floats
    fit: Floats
    gate_face: Ints
    brake_cell: Ints
    brakes: Floats
    valve_cell: Ints
    port_cell: Ints
    inner_valves: tuple[int, ...]
    end_valves: tuple[int | None, int | None]
    gear: GearArrays
    rt: float
    rt_of_lane: Floats
    outside_pa: Floats
    columns: Floats = field(init=False)

    def __post_init__(self) -> None:
        """Rows CAP to ROUGH_LAST; the wall term is put into the fit of the friction, nothing moves behind the last cell."""
        behind = slice(1, None)
        wall, flow, fit = self.wall[behind], self.reynolds_per_flow[behind], self.fit[:, behind]
        rows = np.stack((
            self.cap, self.momentum, self.pull[behind], self.slim[behind], flow, wall, self.loss[behind], self.branch[behind],
            wall * fit[0] * flow, wall * fit[2], wall * fit[1] * flow, wall * (fit[1] + fit[3]),
        ))  # fmt: skip
        rows[PULL - CAP : SLIM - CAP + 1, -1] = 0.0
        object.__setattr__(self, "columns", rows)

    @property
    def cells(self) -> int:
        """How many cells."""
        return int(self.cap.shape[0])

    @property
    def lanes(self) -> int:
        """How many networks side by side."""
        return len(self.networks)


def fast_grid_of(networks: Sequence[PipeNetwork]) -> FastGrid:
    """One grid for networks of the same shape. Raises OutsideModelError where shapes differ or a chamber gives back."""
    first = networks[0]
    if any(brake.gives_back_pa > 0.0 for network in networks for brake in network.brakes):
        raise OutsideModelError("the fast solver has distributors for chambers that give air back: use those")
    if not all(_alike(first, other) for other in networks[1:]):
        raise OutsideModelError("networks side by side must have the same pieces, gates, valves and brakes in the same places")
    edges = _edges(first)
    stacked = _side_by_side(networks, edges)
    inner = tuple(n for n in range(len(first.valves_at_m)) if not first.is_axial(n))
    axial = {n: first.valves_at_m[n] for n in range(len(first.valves_at_m)) if first.is_axial(n)}
    ends = (next((n for n, at in axial.items() if at <= 0.0), None), next((n for n, at in axial.items() if at > 0.0), None))
    valve_cell = _cells_at(edges, [first.valves_at_m[n] for n in inner])
    rt = R * np.array([network.ambient_k for network in networks])
    return FastGrid(
        tuple(networks), edges, **stacked,
        gate_face=np.array([int(np.argmin(np.abs(edges - gate.at_m))) for gate in first.gates], dtype=np.int64),
        brake_cell=_cells_at(edges, [brake.at_m for brake in first.brakes]), brakes=_brakes(networks),
        valve_cell=valve_cell, port_cell=np.concatenate(([0, edges.size - 2], valve_cell)), inner_valves=inner, end_valves=ends,
        gear=gear_arrays([network.gear for network in networks], edges, inner, rt.tolist()), rt=float(rt[0]), rt_of_lane=rt,
        outside_pa=np.array([network.atmosphere_pa for network in networks]),
    )  # fmt: skip


def _side_by_side(networks: Sequence[PipeNetwork], edges: Floats) -> dict[str, Floats]:
    """Coefficients of all lanes; networks of the same pieces and temperature share one reckoning."""
    known: list[tuple[tuple[Piece, ...], float, dict[str, Floats]]] = []
    whose: list[int] = []
    for network in networks:
        pieces, warm = network.pieces, network.ambient_k
        same = (n for n, (other, k, _) in enumerate(known) if k == warm and (other is pieces or other == pieces))
        at = next(same, len(known))
        if at == len(known):
            known.append((pieces, warm, _column(network, edges)))
        whose.append(at)
    together = {name: np.stack([column[name] for _, _, column in known], axis=-1) for name in known[0][2]}
    return {name: np.ascontiguousarray(part[..., whose]) for name, part in together.items()}


def _brakes(networks: Sequence[PipeNetwork]) -> Floats:
    """Figures (13, brakes, lanes)."""
    of_each = {id(network): [_brake_row(brake) for brake in network.brakes] for network in networks}
    rows = [of_each[id(network)] for network in networks]
    return np.ascontiguousarray(np.array(rows).reshape(len(networks), -1, 13).transpose(2, 1, 0))


def _alike(one: PipeNetwork, other: PipeNetwork) -> bool:
    """Whether two networks have the same shape."""
    pieces = one.pieces is other.pieces or [p.length_m for p in one.pieces] == [p.length_m for p in other.pieces]
    gates = one.gates is other.gates or [gate.at_m for gate in one.gates] == [gate.at_m for gate in other.gates]
    brakes = one.brakes is other.brakes or [brake.at_m for brake in one.brakes] == [brake.at_m for brake in other.brakes]
    gear = one.gear is other.gear or _gear_shape(one.gear) == _gear_shape(other.gear)
    return pieces and gates and brakes and gear and one.valves_at_m == other.valves_at_m


def _gear_shape(gear: Gear) -> tuple[object, ...]:
    return (
        tuple((one.at_m, one.backed_at_m, one.distributor, one.opens) for one in gear.vessels),
        tuple((one.at_m, one.reservoir, one.chamber, one.rate_chamber) for one in gear.distributors),
        gear.feeds, gear.second_from_m,
    )  # fmt: skip


def _edges(network: PipeNetwork) -> Floats:
    """Cell edges: at every gate, three cells a brake with the brake in the middle of its own."""
    stops = sorted({0.0, network.length_m, *(gate.at_m for gate in network.gates)})
    places = sorted(brake.at_m for brake in network.brakes)
    edges: list[float] = [0.0]
    for start, end in pairwise(stops):
        inside = [at for at in places if start < at < end]
        if not inside:
            count = max(1, int(np.ceil((end - start) / LONGEST_BARE_M)))
            edges += list(np.linspace(start, end, count + 1)[1:])
            continue
        bounds = [start, *((one + other) / 2 for one, other in pairwise(inside)), end]
        for (low, high), at in zip(pairwise(bounds), inside, strict=True):
            half = min((high - low) / CELLS_A_BRAKE / 2, 0.8 * (at - low), 0.8 * (high - at))
            edges += [at - half, at + half, high]
    return np.array(edges)


def _cells_at(edges: Floats, places: Sequence[float]) -> Ints:
    return np.clip(np.searchsorted(edges, places, side="right") - 1, 0, edges.size - 2).astype(np.int64)


def _column(network: PipeNetwork, edges: Floats) -> dict[str, Floats]:
    """One lane's coefficients."""
    rt, mu = R * network.ambient_k, viscosity_pa_s(network.ambient_k)
    ends = np.cumsum([piece.length_m for piece in network.pieces])
    middle = 0.5 * (edges[1:] + edges[:-1])
    dx = np.diff(edges)
    volume = _between(edges, [piece.area_m2 for piece in network.pieces], ends)
    area = volume / dx
    centres = np.concatenate((edges[:1], middle, edges[-1:]))
    lengths = np.diff(centres)
    inertia = np.concatenate(([dx[0] / 2 / area[0]], (dx[:-1] / area[:-1] + dx[1:] / area[1:]) / 2, [dx[-1] / 2 / area[-1]]))
    face_area = lengths / inertia
    bore = np.sqrt(4.0 / np.pi * face_area)
    zeta = _between(centres, [piece.loss / piece.length_m for piece in network.pieces], ends) / lengths
    terms = [roughness_term(piece.roughness_m / piece.bore_m) for piece in network.pieces]
    of_face = np.minimum(np.searchsorted(ends, edges - 1e-9), len(terms) - 1)
    rough = np.array([darcy_factor_of_term(END_RE, terms[of_face[face]]) for face in (0, -1)])
    fits = {number: _fit(terms[number]) for number in set(of_face.tolist())}
    half = (rough / bore[[0, -1]] + zeta[[0, -1]]) * lengths[[0, -1]] * rt / face_area[[0, -1]] ** 2
    return {
        "cap": volume / rt, "pull": 1.0 / inertia, "slim": 1.0 / lengths, "area": face_area,
        "reynolds_per_flow": bore / (face_area * mu),
        "wall": rt * mu / (2.0 * bore**2), "loss": rt * zeta / (2.0 * face_area), "momentum": rt / area,
        "branch": rt / (2.0 * face_area * lengths), "half": half,
        "fit": np.stack([fits[int(piece)] for piece in of_face], axis=1),
    }  # fmt: skip


def _between(edges: Floats, density: Sequence[float], ends: Floats) -> Floats:
    """The integral between edges of something given per metre of each piece."""
    places = np.concatenate(([0.0], ends))
    sums = np.concatenate(([0.0], np.cumsum(np.asarray(density) * np.diff(places))))
    return np.asarray(np.diff(np.interp(edges, places, sums)))


@lru_cache(maxsize=256)
def _fit(term: float) -> Floats:
    """Friction factor times Reynolds number over turbulent flow, as Re, root, 1 and 1/root with root = sqrt(Re + 1).

    Worked out once for a roughness, and not to be written to.
    """
    exact = np.array([darcy_factor_of_term(float(re), term) * re for re in FIT_RE])
    root = np.sqrt(FIT_RE + 1.0)
    columns = np.stack((FIT_RE, root, np.ones_like(root), 1.0 / root), axis=1)
    return np.asarray(np.linalg.lstsq(columns / exact[:, None], np.ones_like(exact), rcond=None)[0])


def _brake_row(brake: Brake) -> list[float]:
    """A brake's figures; rates instead of time constants, and reciprocals of volumes, nothing where there is none."""
    row = brake_row(brake)
    row[9], row[10] = 1.0 / row[9], 1.0 / row[10]
    row[3] *= row[4]  # a reservoir that the pipe does not feed has no choke on it
    over_chamber = 1.0 / row[0] if row[0] > 0.0 else 0.0
    over_store = row[4] / row[2] if row[2] > 0.0 else 0.0
    row[0], row[2] = row[0] or 1.0, row[2] or 1.0
    return [*row, over_chamber, over_store]
