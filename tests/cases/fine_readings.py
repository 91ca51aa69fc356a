"""Readings made by the fine solver, with heat transfer: the brake pipe alone.

In cells of 2 m, a sixteenth of the work of half a metre: what is read after minutes hangs on heat and leaks, not on waves.

The fine solver knows no distributors, no main reservoir pipe and no compressor. So each vehicle has a stand-in: a control
chamber of its own size behind its choke, open to the pipe both ways until the brake applies, and a cylinder fed from a reservoir
that the pipe does not feed; valves are fed from a main reservoir that never falls. Faults of the gear itself cannot be made so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from headstock.formation.train_gear import CHAMBER
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.distributor import NO_GEAR
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import ATMOSPHERE_PA, Brake, Change, PipeNetwork, Probe, ValveSetting
from tests.cases.drawn_trains import air_of

PIPE_KINDS = ("nothing", "cock shut", "cock part open", "pipe blocked", "pipe leaks", "other valve feeds", "lapped valve feeds",
              "wrong gauge read", "gauge stuck", "gauge off")  # fmt: skip
"""Faults that the pipe alone can have."""


class FineRuns:
    """Answers runs of one train by the fine solver."""

    def __init__(self, vehicles: int, method: str, cell_m: float = 2.0) -> None:
        self.air, self.cell_m = air_of(vehicles, method), cell_m
        self.supply_pa = max(self.air.main_bar.values()) * 1e5 + ATMOSPHERE_PA

    def __call__(self, runs: Sequence[AirRun]) -> list[AirTrace]:
        return [self._answer(run) for run in runs]

    def _answer(self, run: AirRun) -> AirTrace:
        network, gates, valves = self._pipe_alone(run.network)
        grid = grid_of(network, self.cell_m)
        middle_m = (np.arange(grid.cells) + 0.5) * grid.cell_m
        ends = np.array([end for end, _ in run.pipe_pa])
        pipe_pa = np.array([pressure for _, pressure in run.pipe_pa])[np.searchsorted(ends, middle_m)]
        brakes_m = np.array([brake.at_m for brake in network.brakes])
        at_brakes = pipe_pa[np.minimum((brakes_m / grid.cell_m).astype(int), grid.cells - 1)]
        set_pa = self.air.leading[1].set_pressure_bar * 1e5 + ATMOSPHERE_PA
        start = still_air(
            grid, pipe_pa, np.maximum(at_brakes, set_pa), self.supply_pa, np.zeros(len(network.brakes)),
            [run.gates[number] for number in gates], [self._fed(run.valves[number]) for number in valves],
        )  # fmt: skip
        probes = [Probe("cylinder", one.number) if one.kind == "brake cylinder" else Probe(one.kind, valves.index(one.number))
                  for one in run.probes]  # fmt: skip
        result = advance(grid, start, [self._change(change, gates, valves) for change in run.timeline
                                       if change.number in (valves if isinstance(change.to, ValveSetting) else gates)],
                         run.until_s, "heat-transfer", probes, run.sample_s)  # fmt: skip
        t_s = np.arange(0.0, run.until_s + 1e-9, run.sample_s)
        sampled = np.stack([np.interp(t_s, result.t_s, result.readings_pa[:, probe]) for probe in range(len(probes))], axis=1)
        return AirTrace(t_s, sampled, result.mass_balance)

    def _pipe_alone(self, network: PipeNetwork) -> tuple[PipeNetwork, list[int], list[int]]:
        """What lies before the wall, with stand-ins; which gates and valves of the whole are in it."""
        until_m = network.gear.second_from_m
        gates = [number for number, gate in enumerate(network.gates) if gate.at_m < until_m - 1e-6]
        valves = [number for number, at_m in enumerate(network.valves_at_m) if at_m <= until_m + 1e-6]
        pieces, at_m = [], 0.0
        for piece in network.pieces:
            if at_m < until_m - 1e-6:
                pieces.append(piece)
            at_m += piece.length_m
        alone = PipeNetwork(
            tuple(pieces), tuple(network.gates[number] for number in gates),
            tuple(network.valves_at_m[number] for number in valves), tuple(self._stand_ins(network)), network.ambient_k, NO_GEAR,
        )  # fmt: skip
        assert abs(alone.length_m - until_m) < 1e-6
        return alone, gates, valves

    def _stand_ins(self, network: PipeNetwork) -> list[Brake]:
        found, gear = [], self.air.air.gear
        for leak, vehicle in zip(network.brakes, self.air.vehicles, strict=False):
            if vehicle not in gear.distributors:
                found.append(leak)
                continue
            brake, chamber = gear.distributors[vehicle], gear.vessels[vehicle, CHAMBER]
            found.append(replace(leak, chamber_m3=chamber.volume_m3, chamber_choke_m2=chamber.choke_m2, reservoir_m3=0.06,
                                 fed_by_pipe=False, cylinder_m3=brake.cylinder_m3, gain=brake.gain,
                                 cylinder_max_pa=brake.cylinder_max_pa, fill_s=brake.fill_s,
                                 release_s=brake.release_s, gives_back_pa=brake.applies_pa))  # fmt: skip
        return found

    def _fed(self, valve: ValveSetting) -> ValveSetting:
        is_fed = valve.feed_area_m2 > 0.0 and valve.supply_pa == 0.0
        return replace(valve, supply_pa=self.supply_pa) if is_fed else valve

    def _change(self, change: Change, gates: list[int], valves: list[int]) -> Change:
        if isinstance(change.to, ValveSetting):
            return Change(change.t_s, valves.index(change.number), self._fed(change.to))
        return Change(change.t_s, gates.index(change.number), change.to)
