"""Trains of stated, invented figures for checks of brake gear: vehicles of one kind on one or two pipes, and how to run them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from headstock.physics.distributor import Distributor, DistributorSetting, Feed, Gear, Vessel, VesselSetting
from headstock.physics.fast import FastResult, GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import FastGrid, fast_grid_of
from headstock.physics.fast_state import FastState
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
    ValveSetting,
)

BAR = 1.0e5
IN3 = 16.387064e-6


def pa(bar: float) -> float:
    """Absolute pressure of a gauge pressure."""
    return bar * BAR + ATMOSPHERE_PA


def hole(diameter_mm: float) -> float:
    """Area of a hole [m2]."""
    return pi / 4 * (diameter_mm * 1e-3) ** 2


def lets_out(area_m2: float, to_bar: float = 0.0) -> ValveSetting:
    """Out to the open air, ending at a pressure."""
    return ValveSetting(exhaust_area_m2=area_m2, exhaust_to_pa=pa(to_bar) if to_bar > 0.0 else -np.inf)


def feeds(area_m2: float, to_bar: float = 5.0, from_bar: float = 8.5) -> ValveSetting:
    """In from a source, closing at the set pressure."""
    return ValveSetting(pa(from_bar), area_m2, pa(to_bar))


@dataclass(frozen=True)
class Kind:
    """One kind of vehicle: its pipe, and its brake with the vessels it names (volumes [l], areas [mm2])."""

    release: str = "graduated"
    length_m: float = 20.0
    bore_m: float = 0.0254
    roughness_m: float = 5e-5
    leak_mm2: float = 0.005
    chamber: tuple[float, float] = (4.0, 0.6)
    reservoir: tuple[float, float] = (75.0, 7.0)
    cylinder_l: float = 10.0
    bulb: tuple[float, float, float] | None = (0.8, 12.0, 6.0)
    applies_bar: float = 0.06
    releases_bar: float = 0.15
    gain: float = 3.8 / 1.5
    most_bar: float = 3.8
    fill_s: float = 4 / 3
    release_s: float = 7.55
    electric_bar: float = 0.0
    main_pipe: bool = False


GRADUATED = Kind()
GOODS = replace(GRADUATED, fill_s=8.0, release_s=23.3)
DIRECT = Kind("direct", reservoir=(70.0, 6.5), cylinder_l=20.0, applies_bar=0.12, releases_bar=0.1, most_bar=6.0, fill_s=1.5)
TWO_PIPE = replace(GRADUATED, main_pipe=True, electric_bar=3.6)


def _pipe(kind: Kind, count: int, at_m: float) -> tuple[list[Piece], list[Brake], float]:
    pieces, leaks = [], []
    for number in range(count):
        if number:
            pieces.append(Piece(1.2, kind.bore_m, kind.roughness_m, 1.0))
            at_m += 1.2
        leaks.append(Brake(at_m + kind.length_m / 2, 0, 0, 0, 0, False, 0, 0, 0, 1, 1, kind.leak_mm2 * 1e-6))
        pieces.append(Piece(kind.length_m, kind.bore_m, kind.roughness_m, 2.0))
        at_m += kind.length_m
    return pieces, leaks, at_m


def train(kind: Kind, count: int, gates_after: Sequence[int] = (), main_reservoir: Vessel | None = None) -> PipeNetwork:
    """A train with valves just inside both ends; a gate after each vehicle named. With a main pipe, valve 0 is fed from it."""
    pieces, leaks, end_m = _pipe(kind, count, 0.0)
    gates = [Gate((n + 1) * (kind.length_m + 1.2) - 0.6, pi / 4 * kind.bore_m**2) for n in gates_after]
    vessels: list[Vessel] = []
    brakes: list[Distributor] = []
    gear_feeds: tuple[Feed, ...] = ()
    mains = leaks
    if kind.main_pipe:
        more, mains, _ = _pipe(kind, count, end_m)
        pieces, gates = pieces + more, [*gates, Gate(end_m, 1e-4)]
    for number in range(count):
        _add_brake(kind, number, leaks[number].at_m, mains[number].at_m, vessels, brakes)
    if kind.main_pipe:
        gear_feeds = (Feed(0, mains[0].at_m),)
        if main_reservoir is not None:
            vessels.append(replace(main_reservoir, at_m=mains[0].at_m))
        leaks = leaks + mains
    gear = Gear(tuple(vessels), tuple(brakes), gear_feeds, end_m if kind.main_pipe else np.inf)
    return PipeNetwork(tuple(pieces), tuple(gates), (1.0, end_m - 1.0), tuple(leaks), gear=gear)


def _add_brake(kind: Kind, k: int, at: float, main_m: float, vessels: list[Vessel], brakes: list[Distributor]) -> None:
    first = len(vessels)
    graduated = kind.release == "graduated"
    if graduated:
        vessels.append(Vessel(at, kind.chamber[0] * 1e-3, kind.chamber[1] * 1e-6, True, k, "released"))
        vessels.append(Vessel(main_m, kind.reservoir[0] * 1e-3, kind.reservoir[1] * 1e-6, False, None if kind.main_pipe else k))
    else:
        vessels.append(Vessel(at, kind.reservoir[0] * 1e-3, kind.reservoir[1] * 1e-6, True, k, "released"))
    store = len(vessels) - 1
    if kind.bulb is not None:
        bulb_l, choke, empties = kind.bulb
        vessels.append(Vessel(at, bulb_l * 1e-3, choke * 1e-6, True, k, "applied", vent_m2=empties * 1e-6))
    brakes.append(
        Distributor(
            at, "graduated" if graduated else "direct", store, first if graduated else None, kind.cylinder_l * 1e-3,
            kind.most_bar * BAR, kind.applies_bar * BAR, kind.releases_bar * BAR, kind.gain if graduated else 1.0,
            0.45 * BAR if graduated else 0.0, 0.25, kind.fill_s, kind.release_s, electric_max_pa=kind.electric_bar * BAR,
            electric_fill_s=0.8, electric_release_s=1.5,
        )
    )  # fmt: skip


@dataclass(frozen=True)
class Stand:
    """A block of trains at rest."""

    grid: FastGrid
    state: FastState

    def run(self, timelines: Sequence[Sequence[Change]], until_s: float, probes: Sequence[Probe] = ()) -> FastResult:
        """On from rest."""
        return advance_fast(self.grid, self.state, timelines, until_s, probes)


def at_rest(
    networks: Sequence[PipeNetwork], pipe_bar: float | NDArray[np.float64] = 5.0, main_bar: float = 8.5,
    wires: tuple[bool, bool] = (False, False),
) -> Stand:  # fmt: skip
    """All pipes, chambers and reservoirs charged, bulbs empty; gates open but the wall between pipes; valves shut."""
    grid, first = fast_grid_of(networks), networks[0]
    lanes = len(networks)
    pipe = np.broadcast_to(np.reshape(np.asarray(pipe_bar, dtype=float), (-1, 1)), (grid.cells, 1)) * BAR + ATMOSPHERE_PA
    pipe = np.where(np.arange(grid.cells)[:, None] < grid.gear.split, pipe, pa(main_bar))
    level = [_level(vessel, first, pipe[:, 0], grid) for vessel in first.gear.vessels]
    gates = tuple(GateSetting(0.0 if gate.at_m == first.gear.second_from_m else 1.0) for gate in first.gates)
    brakes = (DistributorSetting(False, *wires),) * len(first.gear.distributors)
    start = GearStart(np.reshape(level, (-1, 1)), 0.0, 0.0, ((VesselSetting(),) * len(level),) * lanes, (brakes,) * lanes)
    return Stand(grid, still_air_fast(grid, pipe, 0.0, 0.0, 0.0, (gates,) * lanes, ((SHUT, SHUT),) * lanes, start))


def _level(vessel: Vessel, network: PipeNetwork, pipe: NDArray[np.float64], grid: FastGrid) -> float:
    if vessel.opens == "applied":
        return ATMOSPHERE_PA
    return float(pipe[min(int(np.searchsorted(grid.edges_m, vessel.at_m, side="right")) - 1, grid.cells - 1)])


def gauge(result: FastResult, probe: int = 0, lane: int = 0) -> NDArray[np.float64]:
    """Readings [bar, gauge] at the result's times."""
    return np.asarray((result.readings_pa[:, probe, lane] - ATMOSPHERE_PA) / BAR)


def passes(result: FastResult, level_bar: float, probe: int = 0, lane: int = 0, rising: bool = True) -> float:
    """When a reading first passes a level [s], in a straight line between samples; infinite if never."""
    x = gauge(result, probe, lane) - level_bar
    over = np.flatnonzero(x >= 0.0 if rising else x <= 0.0)
    if over.size == 0:
        return float("inf")
    j = int(over[0])
    if j == 0:
        return float(result.t_s[0])
    before, after = x[j - 1], x[j]
    return float(result.t_s[j - 1] + before / (before - after) * (result.t_s[j] - result.t_s[j - 1]))
