"""How gates, valves, vessels and distributors of a block stand, what changes them, and what the compiled stepping reads of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from headstock.physics.arrays import Floats, Ints
from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast_gear import GearSet, gear_set
from headstock.physics.fast_grid import FastGrid
from headstock.physics.fine_grid import ALMOST_SHUT, valve_row
from headstock.physics.pipe_network import SHUT, Change, GateSetting, ValveSetting

T = TypeVar("T")
Gates = tuple[tuple[GateSetting, ...], ...]
Valves = tuple[tuple[ValveSetting, ...], ...]
Vessels = tuple[tuple[VesselSetting, ...], ...]
Distributors = tuple[tuple[DistributorSetting, ...], ...]
"""Settings, a tuple a lane."""


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
