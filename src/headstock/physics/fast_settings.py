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
KINDS = {GateSetting: A_GATE, ValveSetting: A_VALVE, VesselSetting: OF_A_VESSEL, DistributorSetting: OF_A_DISTRIBUTOR}
SPARE = [0.0] * FIGURES
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


@dataclass(frozen=True, slots=True)
class Told:
    """How a lane stands and what changes in it, as plain numbers: gathered lane by lane, made arrays once for several lanes.

    Rows as in ``Settings`` and ``Changes``.
    """

    gates: list[list[float]]
    valves: list[list[float]]
    vessels: list[list[float]]
    distributors: list[list[float]]
    when_s: list[float]
    which: list[tuple[int, int]]
    figures: list[list[float]]
    really: list[bool]


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

    def as_lane(self, lane: int, other: int) -> None:
        """One lane stands as another does now."""
        every: list[Any] = [self.gates, self.valves, self.vessels, self.distributors]
        for held in every:
            held[lane] = list(held[other])

    def bring(self, lane: int, change: Change) -> bool:
        """One change is made; whether anything was really changed."""
        held: list[Any] = (self.gates, self.valves, self.vessels, self.distributors)[KINDS[type(change.to)]][lane]
        before = held[change.number]
        changed = bool(before is not change.to and before != change.to)
        held[change.number] = change.to
        return changed


def gate_row(gate: Gate, setting: GateSetting) -> list[float]:
    """A gate as the stepping reads it: area (0 shut, negative fully open), vents on either side of a shut one."""
    if setting.open <= ALMOST_SHUT:
        return [0.0, setting.front_vent_m2, setting.rear_vent_m2]
    return [-1.0 if setting.open >= 1.0 else gate.area_m2 * setting.open, 0.0, 0.0]


def ports_of(grid: FastGrid) -> list[int]:
    """The port that each valve of the network is: 0 and 1 at the ends, the others inside."""
    valves = range(len(grid.networks[0].valves_at_m))
    return [grid.end_valves.index(n) if n in grid.end_valves else 2 + grid.inner_valves.index(n) for n in valves]


def settings_of(told: Told) -> Settings:
    """The settings of a lane as they stand at first."""
    gear = GearSet(np.array(told.vessels).reshape(-1, 3).T.copy(), np.array(told.distributors).reshape(-1, 4).T.copy())
    return Settings(np.array(told.gates).reshape(-1, 3), np.array(told.valves), gear)


def told_of(grid: FastGrid, ports: Sequence[int], stands: Stands, lane: int, line: Sequence[Change]) -> Told:
    """How a lane stands, and what changes in it on the way; everything then stands as after the last change."""
    network = grid.networks[lane]
    valves = [[*valve_row(SHUT), network.atmosphere_pa]] * (2 + len(grid.inner_valves))
    for port, setting in zip(ports, stands.valves[lane], strict=True):
        valves[port] = [*valve_row(setting), network.atmosphere_pa]
    gates = [gate_row(*both) for both in zip(network.gates, stands.gates[lane], strict=True)]
    vessels = [vessel_row(one) for one in stands.vessels[lane]]
    told = Told(gates, valves, vessels, [distributor_row(one) for one in stands.distributors[lane]], [], [], [], [])
    for change in line:
        kind, row = _as_read(network.gates, change)
        told.when_s.append(change.t_s)
        told.which.append((kind, ports[change.number] if kind == A_VALVE else change.number))
        told.figures.append([*row, *SPARE[len(row) :]])
        told.really.append(stands.bring(lane, change))
    return told


def changes_of(told: Sequence[Told]) -> Changes:
    """What changes in some lanes, one lane after the other."""
    return Changes(
        np.array([t_s for one in told for t_s in one.when_s], dtype=np.float64),
        np.array([both for one in told for both in one.which], dtype=np.int64).reshape(-1, 2),
        np.array([row for one in told for row in one.figures], dtype=np.float64).reshape(-1, FIGURES),
        np.array([really for one in told for really in one.really], dtype=np.int64),
    )


def _as_read(gates: Sequence[Gate], change: Change) -> tuple[int, list[float]]:
    """What a change is about, and its figures."""
    to = change.to
    if isinstance(to, ValveSetting):
        return A_VALVE, valve_row(to)
    if isinstance(to, GateSetting):
        return A_GATE, gate_row(gates[change.number], to)
    return (OF_A_VESSEL, vessel_row(to)) if isinstance(to, VesselSetting) else (OF_A_DISTRIBUTOR, distributor_row(to))
