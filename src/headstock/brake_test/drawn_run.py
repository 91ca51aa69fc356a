"""One drawn test as a run of the air engine: a train with its causes and with what differs from train to train."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf, sqrt

from headstock.brake_test.causes import Cause, brake_pipe_vehicles
from headstock.brake_test.forecast import SAMPLE_S, TrainUnderTest, main_bars_of, moved_by, probes_of, timeline_of
from headstock.brake_test.forecast_reading import SETTLING_S, StageSpan
from headstock.devices.cab_valve import CabValveSpec
from headstock.formation.air_charge import AirCharge, PipePressures, air_charge_of
from headstock.formation.train_air import TrainAir, TrainOpenings, brake_places, train_openings_of
from headstock.formation.train_gear import RESERVOIR
from headstock.physics.air_run import AirRun
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import flow_function
from headstock.physics.pipe_network import SHUT, Change, GateSetting, PipeNetwork, Probe, ValveSetting

MM2, PA_PER_BAR, KELVIN = 1e-6, 1e5, 273.15
CHARGED_AT_ALL_BAR = 0.5
"""An emptied pipe is emptied, whatever the gauge's error."""


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
    given_moves: tuple[dict[str, str], ...] | None = None
    """What was moved at the beginning of each span, where that is known from a record and not from the method."""

    def stands(self, changed: Mapping[str, str]) -> TrainOpenings:
        """How all stands with these devices otherwise."""
        key = frozenset(changed.items())
        if key not in self._stood:
            self._stood[key] = train_openings_of(self.air, self.tested.train, {**self.tested.values, **changed})
        return self._stood[key]

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


def drawn_run(tested: AirUnderTest, spans: Sequence[StageSpan], causes: Sequence[Cause], drawn: Drawn) -> AirRun:
    """The run of one drawn test, its stages as long as ``spans`` say."""
    changed = _changed(tested, causes)
    openings = _openings(tested, changed, causes, drawn)
    before = tested.tested
    pipe_bar = {
        unit: max(0.0, bar + drawn.pipe_error_bar) if bar > CHARGED_AT_ALL_BAR else bar for unit, bar in before.pipe_bar.items()
    }
    start = air_charge_of(tested.air, tested.tested.train, openings, PipePressures(pipe_bar, tested.main_bar, before.without_air))
    vessel_pa, cylinder_pa = _emptied(tested, causes, start)
    return AirRun(
        _leaking(tested, causes, drawn), openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa,
        vessel_pa, cylinder_pa, _timeline(tested, spans, changed, causes, drawn), SETTLING_S + spans[-1].ends_s,
        tested.probes, SAMPLE_S,
    )  # fmt: skip


def longer_spans(spans: Sequence[StageSpan], drawn: Drawn) -> tuple[StageSpan, ...]:
    """Stages as long as people took."""
    found, late_s = [], 0.0
    for span, more_s in zip(spans, drawn.longer_s, strict=True):
        found.append(replace(span, begins_s=span.begins_s + late_s, ends_s=span.ends_s + late_s + more_s))
        late_s += more_s
    return tuple(found)


def leak_area_m2(network: PipeNetwork, until_m: float, fall_bar_per_min: float, gauge_bar: float) -> float:
    """Opening from which a pipe up to a place [m] falls so fast at a pressure [bar gauge], isothermal; choked outflow."""
    volume_m3, at_m = 0.0, 0.0
    for piece in network.pieces:
        volume_m3 += piece.area_m2 * max(0.0, min(piece.length_m, until_m - at_m))
        at_m += piece.length_m
    pressure_pa = gauge_bar * PA_PER_BAR + network.atmosphere_pa
    speed = flow_function(network.atmosphere_pa / pressure_pa) * sqrt(GAS_CONSTANT_J_KG_K * network.ambient_k)
    return fall_bar_per_min * PA_PER_BAR / 60.0 * volume_m3 / (pressure_pa * speed)


def _emptied(tested: AirUnderTest, causes: Sequence[Cause], start: AirCharge) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Vessels and cylinders as charged; a reservoir that is not fed has long been empty, and its cylinder too."""
    vessel_pa, cylinder_pa = list(start.vessel_pa), list(start.cylinder_pa)
    for cause in causes:
        if cause.kind == "reservoir not fed":
            vessel_pa[tested.air.gear.vessel(cause.place, RESERVOIR)] = tested.tested.outside_pa
            cylinder_pa[list(tested.air.gear.distributors).index(cause.place)] = 0.0
    return tuple(vessel_pa), tuple(cylinder_pa)


def _changed(tested: AirUnderTest, causes: Sequence[Cause]) -> dict[str, str]:
    """Devices that stand otherwise."""
    found = {}
    for cause in causes:
        if cause.kind in ("cock shut", "main reservoir cock shut"):
            found[cause.place] = "shut"
        elif cause.kind == "brake isolated":
            found[tested.brake_keys[cause.place]] = "isolated"
        elif cause.kind == "other valve feeds":
            found[cause.place] = "running"
        elif cause.kind == "compressor dead":
            found[cause.place] = "dead"
        elif cause.kind in ("parking brake on", "hand brake on"):
            found[cause.place] = "on"
    return found


def _leaking(tested: AirUnderTest, causes: Sequence[Cause], drawn: Drawn) -> PipeNetwork:
    """The network with the drawn leaks and those that are causes, at the drawn temperature."""
    network, unit_m2 = tested.air.network, tested.unit_leak_m2
    areas_m2 = [unit_m2 * drawn.leak_bar_per_min * share for share in drawn.leak_shares]
    for cause in causes:
        if cause.kind == "pipe leaks":
            areas_m2[tested.vehicles.index(cause.place)] += unit_m2 * cause.severity
    leaks = [replace(leak, leak_area_m2=area) for leak, area in zip(network.brakes, areas_m2, strict=False)]
    return replace(network, brakes=(*leaks, *network.brakes[len(areas_m2) :]), ambient_k=drawn.temperature_k)


def _openings(tested: AirUnderTest, changed: Mapping[str, str], causes: Sequence[Cause], drawn: Drawn) -> TrainOpenings:
    """How all stands, with what is neither open nor shut."""
    plain, air = tested.stands(changed), tested.air
    gates, valves = list(plain.gates), list(plain.valves)
    vessels, distributors = list(plain.vessels), list(plain.distributors)
    leading, spec = tested.leading
    valves[leading] = _off_set(valves[leading], drawn)
    for cause in causes:
        if cause.kind in ("cock part open", "pipe blocked"):
            gates[air.gates.index(cause.place)] = GateSetting(cause.severity)
        elif cause.kind == "cylinder leaks":
            number = list(air.gear.distributors).index(cause.place)
            distributors[number] = replace(distributors[number], cylinder_leak_m2=cause.severity * MM2)
        elif cause.kind == "reservoir not fed":
            number = air.gear.vessel(cause.place, RESERVOIR)
            vessels[number] = replace(vessels[number], open=0.0)
        elif cause.kind == "lapped valve feeds" and valves[leading] == SHUT:
            valves[leading] = _feeding(spec, cause.severity, tested.tested.outside_pa)
    return TrainOpenings(tuple(gates), tuple(valves), tuple(vessels), tuple(distributors))


def _off_set(valve: ValveSetting, drawn: Drawn) -> ValveSetting:
    """A valve that feeds up to a pressure a little off."""
    if valve.feed_area_m2 <= 0.0 or valve.feed_to_pa == inf:
        return valve
    return replace(valve, feed_to_pa=valve.feed_to_pa + drawn.set_error_bar * PA_PER_BAR)


def _feeding(spec: CabValveSpec, opening_mm2: float, outside_pa: float) -> ValveSetting:
    """A leading valve that should feed nothing and does, a little."""
    set_pa = spec.set_pressure_bar * PA_PER_BAR + outside_pa
    return ValveSetting(0.0, opening_mm2 * MM2, set_pa, droop_pa=spec.droop_bar * PA_PER_BAR)


def _timeline(
    tested: AirUnderTest, spans: Sequence[StageSpan], changed: Mapping[str, str], causes: Sequence[Cause], drawn: Drawn
) -> tuple[Change, ...]:
    """Valves and outer cocks moved at the beginning of their stages."""
    return timeline_of(spans, tested.moves, changed, lambda now: _openings(tested, now, causes, drawn))
