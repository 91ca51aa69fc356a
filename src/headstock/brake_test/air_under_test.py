"""A train under test with all that its drawn tests have in common: its air, how it may stand, how it is charged."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from headstock.brake_test.forecast import TrainUnderTest, main_bars_of, moved_by
from headstock.brake_test.forecast_reading import StageSpan
from headstock.brake_test.kept_parts import KeptParts
from headstock.brake_test.leak_area import brake_pipe_vehicles, leak_area_m2
from headstock.brake_test.live_wires import live_wires
from headstock.brake_test.probes import probes_of
from headstock.brake_test.running_reading import AS_STATED, OnTheLine
from headstock.devices.cab_valve import CabValveSpec
from headstock.formation.air_charge import AirCharge, PipePressures, air_charge_of
from headstock.formation.train_air import TrainAir, TrainOpenings, brake_places, train_openings_of
from headstock.physics.pipe_network import Change, PipeNetwork, Probe

CHARGED_AT_ALL_BAR = 0.5
"""An emptied pipe is emptied, whatever the gauge's error."""
MOST_CHARGED = 4096
"""So many charges are kept: the same ones come again and again in tests of one draw."""
MOST_OF_DRAWS = 512
"""So many of what hangs on the draw too: tests of one draw follow one another."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What differs from one healthy train and test to another; ``leak_shares`` per vehicle on the brake pipe sum to 1.

    ``leak_bar_per_min`` of the whole pipe; ``longer_s`` a stage; ``line``: of a running test, how it is there.
    """

    leak_bar_per_min: float
    leak_shares: tuple[float, ...]
    temperature_k: float
    set_error_bar: float
    pipe_error_bar: float
    longer_s: tuple[float, ...]
    line: OnTheLine = AS_STATED


@dataclass(frozen=True)
class AirUnderTest:
    """A train under test with its air; how it stands with some devices standing otherwise is worked out once and kept."""

    tested: TrainUnderTest
    air: TrainAir
    spans: tuple[StageSpan, ...]
    _stood: dict[frozenset[tuple[str, str]], TrainOpenings] = field(init=False, default_factory=dict)
    _settings: dict[Any, Any] = field(init=False, default_factory=dict)
    _charged: KeptParts[AirCharge] = field(init=False, default_factory=lambda: KeptParts(MOST_CHARGED))
    leaking: KeptParts[PipeNetwork] = field(init=False, default_factory=lambda: KeptParts(MOST_OF_DRAWS))
    """Networks by what they leak and how warm it is."""
    moving: KeptParts[tuple[TrainOpenings, tuple[Change, ...]]] = field(
        init=False, default_factory=lambda: KeptParts(MOST_OF_DRAWS)
    )
    """How all stands at first and what is moved, by times and whatever stands or opens otherwise."""
    given_moves: tuple[dict[str, str], ...] | None = None
    """What was moved at the beginning of each span, where that is known from a record and not from the method."""

    def stands(self, changed: Mapping[str, str]) -> TrainOpenings:
        """How all stands with these devices otherwise."""
        key = frozenset(changed.items())
        if key not in self._stood:
            values, tested = {**self.tested.values, **changed}, self.tested
            wires = live_wires(tested.train, tested.front, values)
            self._stood[key] = self._the_same(train_openings_of(self.air, tested.train, values, wires))
        return self._stood[key]

    def _the_same(self, openings: TrainOpenings) -> TrainOpenings:
        """With one object for equal settings, so that what has not changed is seen at once."""
        parts = (openings.gates, openings.valves, openings.vessels, openings.distributors)
        return TrainOpenings(*(tuple(self._settings.setdefault(one, one) for one in part) for part in parts))

    def charged(self, openings: TrainOpenings, pipe_error_bar: float) -> AirCharge:
        """How all is charged before the test, the pipe so far [bar] off what was read; worked out once for what stands alike."""
        key = (
            tuple([gate.open <= 0.0 for gate in openings.gates]), tuple([vessel.open <= 0.0 for vessel in openings.vessels]),
            tuple([brake.isolated for brake in openings.distributors]), pipe_error_bar,
        )  # fmt: skip
        return self._charged.get(key, lambda: self._charge(openings, pipe_error_bar))

    def _charge(self, openings: TrainOpenings, pipe_error_bar: float) -> AirCharge:
        tested = self.tested
        pipe_bar = {
            unit: max(0.0, bar + pipe_error_bar) if bar > CHARGED_AT_ALL_BAR else bar for unit, bar in tested.pipe_bar.items()
        }
        shown = PipePressures(pipe_bar, self.main_bar, tested.without_air)
        return air_charge_of(self.air, tested.train, openings, shown)

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
        """Where its runs are read."""
        return probes_of(self.tested, self.air)
