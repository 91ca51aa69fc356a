"""Brake gear a second time: the pipe by the fine solver, distributors and cylinders by small plain steps beside it.

The fine solver knows chokes with check valves into volumes, and no distributors. So every vessel on the pipe is a volume of its,
and every few milliseconds the distributors look at the pipe beside them, as their data say in words: chokes open and shut,
cylinders go on by Euler's steps, reservoirs give up what cylinders took. No line is shared with the fast solver's gear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from headstock.physics.fine import AirState, advance, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.orifice import flow_function
from headstock.physics.pipe_network import ATMOSPHERE_PA, SHUT, Brake, Change, PipeNetwork, Probe
from tests.accuracy.gear_bench import BAR, Kind, pa, train

Floats = NDArray[np.float64]
LOOK_S, STEP_S = 0.01, 0.002
"""How often distributors look at the pipe, and the step of the cylinders [s]."""
BESIDE_M = 0.5
"""So far beside a brake its bulb sits: two things cannot share a face."""
GAS_K = 287.05 * 288.15
CHAMBER_CHOKE, RESERVOIR_CHOKE = 1, 3
CHAMBER, RESERVOIR = 0, 1


def one_way(network: PipeNetwork) -> PipeNetwork:
    """The fast solver's train with check valves on every choke, as the fine solver has them."""
    vessels = tuple(replace(vessel, both_ways=False) for vessel in network.gear.vessels)
    return replace(network, gear=replace(network.gear, vessels=vessels))


@dataclass(frozen=True)
class Traces:
    """Pressures [bar, gauge] at times [s]: (times, vehicles) of the pipe beside each brake, its cylinder, its reservoir."""

    t_s: Floats
    pipe: Floats
    cylinder: Floats
    reservoir: Floats


class GearByFine:
    """A train of one kind on one pipe; ``isolated``: vehicles whose brake is cut off."""

    def __init__(self, kind: Kind, count: int, pipe_bar: float = 5.0, isolated: Sequence[int] = ()) -> None:
        self.kind, self.count = kind, count
        plain = train(kind, count)
        leaks = plain.brakes
        self.direct = kind.release == "direct"
        brakes = [self._brake(leak) for leak in leaks]
        if kind.bulb is not None:
            bulb_l, choke, _ = kind.bulb
            brakes += [Brake(leak.at_m + BESIDE_M, 0, 0, bulb_l * 1e-3, choke * 1e-6, True, 0, 0, 0, 1, 1) for leak in leaks]
        self.grid: FineGrid = grid_of(PipeNetwork(plain.pieces, (), plain.valves_at_m, tuple(brakes)))
        level = np.full(len(brakes), pa(pipe_bar))
        level[count:] = ATMOSPHERE_PA
        self.air: AirState = still_air(self.grid, pa(pipe_bar), level, level, 0.0, (), (SHUT, SHUT))
        self.on = np.array([number not in isolated for number in range(count)])
        self.applied = np.zeros(count, dtype=bool)
        self.turned_pa = np.full(count, pa(pipe_bar))
        self.cylinder_pa = np.zeros(count)
        self._chokes()

    def _brake(self, leak: Brake) -> Brake:
        kind = self.kind
        chamber_m3, chamber_m2 = (0.0, 0.0) if self.direct else (kind.chamber[0] * 1e-3, kind.chamber[1] * 1e-6)
        return Brake(leak.at_m, chamber_m3, chamber_m2, kind.reservoir[0] * 1e-3, kind.reservoir[1] * 1e-6, True, 0.0, 0.0, 0.0,
                     1.0, 1.0, leak.leak_area_m2)  # fmt: skip

    def _chokes(self) -> None:
        """Chambers (of direct release reservoirs) open while released, bulbs while applied; an isolated brake has none."""
        kind, count, rows = self.kind, self.count, self.grid.brakes
        released = self.on & ~self.applied
        if self.direct:
            rows[:count, RESERVOIR_CHOKE] = np.where(released, kind.reservoir[1] * 1e-6, 0.0)
        else:
            rows[:count, CHAMBER_CHOKE] = np.where(released, kind.chamber[1] * 1e-6, 0.0)
            rows[:count, RESERVOIR_CHOKE] = np.where(self.on, kind.reservoir[1] * 1e-6, 0.0)
        if kind.bulb is not None:
            rows[count : 2 * count, RESERVOIR_CHOKE] = np.where(self.on & self.applied, kind.bulb[1] * 1e-6, 0.0)

    def _look(self, pipe_pa: Floats) -> None:
        """Every distributor turns or not."""
        kind, vessels = self.kind, self.air.vessels
        reference = vessels[RESERVOIR if self.direct else CHAMBER, : self.count]
        moves, lets_go = kind.applies_bar * BAR, kind.releases_bar * BAR
        applies = ~self.applied & (np.minimum(reference, self.turned_pa) - pipe_pa > moves)
        back = pipe_pa - reference > lets_go if self.direct else reference - pipe_pa < lets_go
        releases = self.applied & back & (pipe_pa - self.turned_pa > moves)
        turns = self.on & (applies | releases)
        farthest = np.where(self.applied, np.minimum(self.turned_pa, pipe_pa), np.maximum(self.turned_pa, pipe_pa))
        self.turned_pa = np.where(turns, pipe_pa, farthest)
        self.applied ^= turns
        if turns.any():
            self._chokes()

    def _goes_to(self, pipe_pa: Floats, store: Floats, chamber: Floats) -> Floats:
        """What each cylinder goes to [Pa, gauge]."""
        kind = self.kind
        most = kind.most_bar * BAR
        if not self.direct:
            wanted = np.maximum(kind.gain * (chamber - pipe_pa), 0.45 * BAR)
            return np.where(self.applied & self.on, np.minimum(np.minimum(wanted, most), store - ATMOSPHERE_PA), 0.0)
        volume, size = kind.reservoir[0], kind.cylinder_l
        level = self.cylinder_pa + np.maximum(0.0, store - pipe_pa) * volume / size
        equal = (store * volume + (self.cylinder_pa + ATMOSPHERE_PA) * size) / (volume + size) - ATMOSPHERE_PA
        fed = np.maximum(self.cylinder_pa, np.minimum(np.minimum(level, equal), most))
        return np.where(self.applied & self.on, fed, 0.0)

    def _cylinders(self, pipe_pa: Floats, for_s: float) -> None:
        kind, count = self.kind, self.count
        vessels = self.air.vessels.copy()
        store, chamber = vessels[RESERVOIR, :count], vessels[CHAMBER, :count]
        first_pa = 0.0 if self.direct else 0.45 * BAR
        for _ in range(round(for_s / STEP_S)):
            target = self._goes_to(pipe_pa, store, chamber)
            quick = (target > self.cylinder_pa) & (self.cylinder_pa < 0.95 * first_pa) & (target > 0.95 * first_pa)
            slow = np.where(target > self.cylinder_pa, kind.fill_s, kind.release_s)
            rise = (target - self.cylinder_pa) * -np.expm1(-STEP_S / np.where(quick, 0.25, slow))
            self.cylinder_pa = self.cylinder_pa + rise
            store -= np.maximum(rise, 0.0) * kind.cylinder_l / kind.reservoir[0]
        if kind.bulb is not None:
            self._empty_bulbs(vessels[RESERVOIR, count : 2 * count], for_s)
        self.air = replace(self.air, vessels=vessels)

    def _empty_bulbs(self, bulb: Floats, for_s: float) -> None:
        """A bulb is let out to the atmosphere while its distributor is released."""
        assert self.kind.bulb is not None
        bulb_l, _, vent_mm2 = self.kind.bulb
        for number in np.flatnonzero(~self.applied & (bulb > ATMOSPHERE_PA)):
            speed = flow_function(ATMOSPHERE_PA / bulb[number]) * sqrt(GAS_K) * vent_mm2 * 1e-6 / (bulb_l * 1e-3)
            bulb[number] = max(ATMOSPHERE_PA, bulb[number] * exp(-speed * for_s))

    def run(self, moves: Sequence[Change], until_s: float) -> Traces:
        """On from rest, valves moved on the way."""
        probes = tuple(Probe("branch", number) for number in range(self.count))
        pipe_pa = np.full(self.count, self.air.vessels[RESERVOIR, 0])
        rows: list[tuple[float, Floats, Floats, Floats]] = []
        for number in range(round(until_s / LOOK_S)):
            self._look(pipe_pa)
            to_s = (number + 1) * LOOK_S
            now = [move for move in moves if number * LOOK_S - 1e-9 <= move.t_s < to_s - 1e-9]
            result = advance(self.grid, self.air, now, to_s, "isothermal", probes, LOOK_S)
            self.air, pipe_pa = result.state, result.readings_pa[-1]
            self._cylinders(pipe_pa, LOOK_S)
            if (number + 1) % 10 == 0:
                store = self.air.vessels[RESERVOIR, : self.count]
                rows.append((to_s, pipe_pa.copy(), self.cylinder_pa.copy(), store.copy()))
        pipe, cylinder, store = (np.array([row[column] for row in rows]) for column in (1, 2, 3))
        bar = (pipe - ATMOSPHERE_PA) / BAR, cylinder / BAR, (store - ATMOSPHERE_PA) / BAR
        return Traces(np.array([row[0] for row in rows]), *bar)
