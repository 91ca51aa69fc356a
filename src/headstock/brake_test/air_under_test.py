"""A train under test with all that its drawn tests have in common: its air, how it may stand, how it is charged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import sqrt

from headstock.base.conversion import BAR_PA
from headstock.brake_test.fault_places import brake_pipe_vehicles
from headstock.brake_test.forecast import TrainUnderTest, main_bars_of, moved_by, probes_of
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.live_wires import live_wires
from headstock.devices.cab_valve import CabValveSpec
from headstock.formation.air_charge import AirCharge, PipePressures, air_charge_of
from headstock.formation.train_air import TrainAir, TrainOpenings, brake_places, train_openings_of
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import flow_function
from headstock.physics.pipe_network import PipeNetwork, Probe

CHARGED_AT_ALL_BAR = 0.5
"""An emptied pipe is emptied, whatever the gauge's error."""
MOST_CHARGED = 4096
"""So many charges are kept: the same ones come again and again in tests of one draw."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What differs from one healthy train and test to another; ``leak_shares`` per vehicle on the brake pipe sum to 1.

    ``leak_bar_per_min`` of the whole pipe; ``longer_s`` a stage.
    """

    leak_bar_per_min: float
    leak_shares: tuple[float, ...]
    temperature_k: float
    set_error_bar: float
    pipe_error_bar: float
    longer_s: tuple[float, ...]


@dataclass(frozen=True)
class AirUnderTest:
    """A train under test with its air; how it stands with some devices standing otherwise is worked out once and kept."""

    tested: TrainUnderTest
    air: TrainAir
    spans: tuple[StageSpan, ...]
    _stood: dict[frozenset[tuple[str, str]], TrainOpenings] = field(default_factory=dict)
    _charged: dict[tuple[object, ...], AirCharge] = field(default_factory=dict)
    given_moves: tuple[dict[str, str], ...] | None = None
    """What was moved at the beginning of each span, where that is known from a record and not from the method."""

    def stands(self, changed: Mapping[str, str]) -> TrainOpenings:
        """How all stands with these devices otherwise."""
        key = frozenset(changed.items())
        if key not in self._stood:
            values, tested = {**self.tested.values, **changed}, self.tested
            wires = live_wires(tested.train, tested.front, values)
            self._stood[key] = train_openings_of(self.air, tested.train, values, wires)
        return self._stood[key]

    def charged(self, openings: TrainOpenings, pipe_error_bar: float) -> AirCharge:
        """How all is charged before the test, the pipe so far [bar] off what was read; worked out once for what stands alike."""
        key = (
            tuple(gate.open <= 0.0 for gate in openings.gates), tuple(vessel.open <= 0.0 for vessel in openings.vessels),
            tuple(brake.isolated for brake in openings.distributors), pipe_error_bar,
        )  # fmt: skip
        if key not in self._charged:
            if len(self._charged) >= MOST_CHARGED:
                self._charged.clear()
            tested = self.tested
            pipe_bar = {
                unit: max(0.0, bar + pipe_error_bar) if bar > CHARGED_AT_ALL_BAR else bar for unit, bar in tested.pipe_bar.items()
            }
            shown = PipePressures(pipe_bar, self.main_bar, tested.without_air)
            self._charged[key] = air_charge_of(self.air, tested.train, openings, shown)
        return self._charged[key]

    @cached_property
    def vehicles(self) -> tuple[str, ...]:
        """Vehicles on the brake pipe."""
        return brake_pipe_vehicles(self.air)

    @cached_property
    def moves(self) -> tuple[dict[str, str], ...]:
        """What each stage moves."""
        if self.given_moves is not None:
            return self.given_moves
        return tuple(moved_by(self.tested, stage) for stage in self.tested.method.stages)

    @cached_property
    def leading(self) -> tuple[int, CabValveSpec]:
        """Number and data of the leading valve."""
        at, spec = self.tested.train.cab_valve(self.tested.front)
        return self.air.valves.index(at.key()), spec

    @cached_property
    def unit_leak_m2(self) -> float:
        """The opening from which the whole pipe falls 1 bar a minute at its set pressure, at the network's own temperature."""
        network = self.air.network
        until_m = min(network.length_m, network.gear.second_from_m)
        return leak_area_m2(network, until_m, 1.0, self.leading[1].set_pressure_bar)

    @cached_property
    def brake_keys(self) -> dict[str, str]:
        """Variable key of each vehicle's brake."""
        return {at.where: at.key() for at in brake_places(self.tested.train)}

    @cached_property
    def main_bar(self) -> dict[str, float]:
        """What each unit's main reservoir stands at [bar gauge]."""
        return main_bars_of(self.tested)

    @cached_property
    def probes(self) -> tuple[Probe, ...]:
        """Both gauges, and the brake cylinders where brakes are counted."""
        return probes_of(self.tested, self.air)


def leak_area_m2(network: PipeNetwork, until_m: float, fall_bar_per_min: float, gauge_bar: float) -> float:
    """Opening from which a pipe up to a place [m] falls so fast at a pressure [bar gauge], isothermal; choked outflow."""
    volume_m3, at_m = 0.0, 0.0
    for piece in network.pieces:
        volume_m3 += piece.area_m2 * max(0.0, min(piece.length_m, until_m - at_m))
        at_m += piece.length_m
    pressure_pa = gauge_bar * BAR_PA + network.atmosphere_pa
    speed = flow_function(network.atmosphere_pa / pressure_pa) * sqrt(GAS_CONSTANT_J_KG_K * network.ambient_k)
    return fall_bar_per_min * BAR_PA / 60.0 * volume_m3 / (pressure_pa * speed)
