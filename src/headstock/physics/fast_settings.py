"""How gates, valves, vessels and distributors of a block stand, what changes them, and what the compiled stepping reads of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np

from headstock.physics.arrays import Floats
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast_changes import A_GATE, A_VALVE, FIGURES, OF_A_DISTRIBUTOR, OF_A_VESSEL, Changes
from headstock.physics.fast_gear import GearSet, distributor_row, vessel_row
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fine_grid import ALMOST_SHUT, valve_row
from headstock.physics.pipe_network import SHUT, Change, Gate, GateSetting, ValveSetting

T = TypeVar("T")
Gates = tuple[tuple[GateSetting, ...], ...]
Valves = tuple[tuple[ValveSetting, ...], ...]
Vessels = tuple[tuple[VesselSetting, ...], ...]
Distributors = tuple[tuple[DistributorSetting, ...], ...]
"""Settings, a tuple a lane."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Of one lane: gates (number, 3), valves (ports, 7), gear."""

    gates: Floats
    valves: Floats
    gear: GearSet


def _lists(lanes: Sequence[Sequence[T]]) -> list[list[T]]:
    return [list(lane) for lane in lanes]


@dataclass(slots=True)
class Stands:
    """How everything stands just now, a list a lane."""

    gates: list[list[GateSetting]]
    valves: list[list[ValveSetting]]
    vessels: list[list[VesselSetting]]
    distributors: list[list[DistributorSetting]]

    @classmethod
    def of(cls, gates: Gates, valves: Valves, vessels: Vessels, distributors: Distributors) -> Stands:
        """As given."""
        return cls(_lists(gates), _lists(valves), _lists(vessels), _lists(distributors))

    def bring(self, lane: int, change: Change) -> bool:
        """One change is made; whether anything was really changed."""
        held = self._of(change.to, lane)
        changed = bool(held[change.number] != change.to)
        held[change.number] = change.to
        return changed

    def _of(self, to: object, lane: int) -> list[Any]:
        """The list that a setting belongs to."""
        if isinstance(to, GateSetting):
            return self.gates[lane]
        if isinstance(to, VesselSetting):
            return self.vessels[lane]
        return self.distributors[lane] if isinstance(to, DistributorSetting) else self.valves[lane]


def gate_row(gate: Gate, setting: GateSetting) -> list[float]:
    """A gate as the stepping reads it: area (0 shut, negative fully open), vents on either side of a shut one."""
    if setting.open <= ALMOST_SHUT:
        return [0.0, setting.front_vent_m2, setting.rear_vent_m2]
    return [-1.0 if setting.open >= 1.0 else gate.area_m2 * setting.open, 0.0, 0.0]


def port_of(grid: FastGrid, valve: int) -> int:
    """The port that a valve of the network is: 0 and 1 at the ends, the others inside."""
    if valve in grid.end_valves:
        return grid.end_valves.index(valve)
    return 2 + grid.inner_valves.index(valve)


def settings_of(grid: FastGrid, stands: Stands, lane: int) -> Settings:
    """The settings of a lane as they stand."""
    gates = [gate_row(*both) for both in zip(grid.networks[lane].gates, stands.gates[lane], strict=True)]
    outside_pa = grid.networks[lane].atmosphere_pa
    valves = [[*valve_row(SHUT), outside_pa]] * (2 + len(grid.inner_valves))
    for number, setting in enumerate(stands.valves[lane]):
        valves[port_of(grid, number)] = [*valve_row(setting), outside_pa]
    gear = GearSet(
        np.array([vessel_row(one) for one in stands.vessels[lane]]).reshape(-1, 3).T.copy(),
        np.array([distributor_row(one) for one in stands.distributors[lane]]).reshape(-1, 4).T.copy(),
    )
    return Settings(np.array(gates).reshape(-1, 3), np.array(valves), gear)


def changes_of(grid: FastGrid, stands: Stands, lane: int, line: Sequence[Change]) -> Changes:
    """What changes on the way in a lane; everything then stands as after the last of them."""
    when, which, figures, really = [], [], [], []
    for change in line:
        kind, number, row = _as_read(grid, lane, change)
        when.append(change.t_s)
        which.append((kind, number))
        figures.append([*row, *[0.0] * (FIGURES - len(row))])
        really.append(stands.bring(lane, change))
    return Changes(
        np.array(when, dtype=np.float64), np.array(which, dtype=np.int64).reshape(-1, 2),
        np.array(figures, dtype=np.float64).reshape(-1, FIGURES), np.array(really, dtype=np.int64),
    )  # fmt: skip


def _as_read(grid: FastGrid, lane: int, change: Change) -> tuple[int, int, list[float]]:
    """What a change is about, its number, its figures."""
    to, number = change.to, change.number
    if isinstance(to, GateSetting):
        return A_GATE, number, gate_row(grid.networks[lane].gates[number], to)
    if isinstance(to, VesselSetting):
        return OF_A_VESSEL, number, vessel_row(to)
    if isinstance(to, DistributorSetting):
        return OF_A_DISTRIBUTOR, number, distributor_row(to)
    return A_VALVE, port_of(grid, number), valve_row(to)
