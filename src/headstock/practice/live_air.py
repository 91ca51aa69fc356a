"""The air of a sitting: the fast engine goes on from event to event, the cocks and valves as they stand just then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from headstock.base.conversion import BAR_PA
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import Cause
from headstock.brake_test.fault_acts import leaking, put_into
from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.live_wires import live_wires
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.gauge import GaugeSpec
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_air import TrainAir, TrainOpenings, train_air_of, train_openings_of
from headstock.physics.arrays import Floats
from headstock.physics.fast import FastResult, GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import FastGrid, fast_grid_of
from headstock.physics.fast_state import FastState
from headstock.physics.pipe_network import Change, Probe

SAMPLE_S = 0.5
"""Between two kept samples of the gauges, for the talk-through."""


@dataclass(frozen=True)
class AirModel:
    """The network of a train, made once for a sitting; ``gauges``: cabs whose pipe gauges can be read, with their probes."""

    train: Train
    air: TrainAir
    grid: FastGrid
    outside_pa: float
    tested: AirUnderTest
    faults: tuple[Cause, ...] = ()

    @cached_property
    def cabs(self) -> tuple[UnitEnd, ...]:
        """Cabs with a brake valve, in order."""
        ends = (UnitEnd(unit.name, number) for unit in self.train.units for number in ("1", "2"))
        return tuple(end for end in ends if self.train.unit(end.unit).end_spec(end.end).has_cab)

    @cached_property
    def probes(self) -> tuple[Probe, ...]:
        """The brake pipe at each cab's valve, then the cylinder of each brake."""
        numbers = [self.air.valves.index(self.train.cab_valve(end)[0].key()) for end in self.cabs]
        cylinders = [Probe("brake cylinder", number) for number in range(len(self.air.gear.distributors))]
        return (*(Probe("valve", number) for number in numbers), *cylinders)

    @cached_property
    def probe_of(self) -> Mapping[UnitEnd | str, int]:
        """The number of the probe at each cab, and at each vehicle's brake cylinder."""
        found: dict[UnitEnd | str, int] = {cab: number for number, cab in enumerate(self.cabs)}
        return found | {vehicle: len(found) + number for number, vehicle in enumerate(self.air.gear.distributors)}

    @cached_property
    def valves(self) -> Mapping[UnitEnd, CabValveSpec]:
        """Data of each cab's brake valve."""
        return {cab: self.train.cab_valve(cab)[1] for cab in self.cabs}

    @cached_property
    def gauges(self) -> Mapping[UnitEnd, GaugeSpec]:
        """Data of each cab's brake pipe gauge, where it has one."""
        own = [(cab, spec) for cab in self.cabs for _, spec in self.train.end_devices(cab)
               if isinstance(spec, GaugeSpec) and spec.reads == "brake pipe"]  # fmt: skip
        return dict(reversed(own))

    def openings(self, values: Mapping[str, str]) -> TrainOpenings:
        """How all stands, with what is hidden in the air; a cock that is shut is shut, however narrow it would be open."""
        plain = train_openings_of(self.air, self.train, values, live_wires(self.train, self.tested.tested.front, values))
        if not self.faults:
            return plain
        put = put_into(self.tested, plain, self.faults)
        gates = tuple(new if old.open > 0.0 else old for old, new in zip(plain.gates, put.gates, strict=True))
        return replace(put, gates=gates)


@dataclass(frozen=True)
class LiveAir:
    """The air at a moment; ``shows_pa``: what each probe reads now [Pa, absolute]; samples kept since the beginning."""

    model: AirModel
    state: FastState
    stands: TrainOpenings
    t_s: float
    shows_pa: Floats
    kept_s: tuple[Floats, ...] = ()
    kept_pa: tuple[Floats, ...] = ()

    def until(self, t_s: float) -> LiveAir:
        """The air later, nothing moved meanwhile."""
        if t_s <= self.t_s:
            return self
        return self._gone_on(t_s, ())

    def ahead(self, t_s: float) -> AirAhead:
        """What it will show from now until then [s] if nothing is moved meanwhile."""
        result = self._marched(t_s, ())
        return AirAhead(self, self._after(result, t_s), result.t_s, result.readings_pa[:, :, 0])

    def moved(self, values: Mapping[str, str]) -> LiveAir:
        """The air with devices as these values say, from now on."""
        after = self.model.openings(values)
        if after == self.stands:
            return self
        changes = [Change(self.t_s, number, new)  # type: ignore[arg-type]
                   for old_ones, new_ones in ((self.stands.gates, after.gates), (self.stands.valves, after.valves),
                                              (self.stands.vessels, after.vessels),
                                              (self.stands.distributors, after.distributors))
                   for number, (old, new) in enumerate(zip(old_ones, new_ones, strict=True)) if old != new]  # fmt: skip
        return replace(self._gone_on(self.t_s + 1e-3, changes), stands=after)

    def _gone_on(self, until_s: float, changes: Sequence[Change]) -> LiveAir:
        return self._after(self._marched(until_s, changes), until_s)

    def _marched(self, until_s: float, changes: Sequence[Change]) -> FastResult:
        return advance_fast(self.model.grid, self.state, [changes], until_s, self.model.probes)

    def _after(self, result: FastResult, until_s: float) -> LiveAir:
        t_s, pa = result.t_s, result.readings_pa[:, :, 0]
        at_s = np.arange(np.ceil(self.t_s / SAMPLE_S) * SAMPLE_S, until_s, SAMPLE_S)
        kept = (np.stack([np.interp(at_s, t_s, pa[:, k]) for k in range(pa.shape[1])], axis=1),) if at_s.size else ()
        return replace(self, state=result.state, t_s=until_s, shows_pa=pa[-1], kept_pa=(*self.kept_pa, *kept),
                       kept_s=(*self.kept_s, at_s) if at_s.size else self.kept_s)  # fmt: skip

    def pipe_bar(self, end: UnitEnd) -> float:
        """The brake pipe at a cab [bar, gauge]."""
        return self._bar(end)

    def cylinder_bar(self, vehicle: str) -> float:
        """A vehicle's brake cylinder [bar, gauge]."""
        return self._bar(vehicle)

    def _bar(self, where: UnitEnd | str) -> float:
        return max(0.0, float(self.shows_pa[self.model.probe_of[where]] - self.model.outside_pa) / BAR_PA)

    def traces(self) -> tuple[Floats, Floats]:
        """Kept samples: times [s] (samples,) and pressures at the cabs [bar, gauge] (samples, cabs)."""
        if not self.kept_s:
            return np.zeros(0), np.zeros((0, len(self.model.cabs)))
        pa = np.concatenate(self.kept_pa)[:, : len(self.model.cabs)]
        return np.concatenate(self.kept_s), (pa - self.model.outside_pa) / BAR_PA


@dataclass(frozen=True)
class AirAhead:
    """The air from a moment to a later one, nothing moved meanwhile; readings [Pa, absolute] (samples, probes) at times [s]."""

    first: LiveAir
    last: LiveAir
    t_s: Floats
    pa: Floats

    def at(self, t_s: float) -> LiveAir:
        """What gauges show at a time between, to be looked at. It goes on from ``first``: its own time is that one's."""
        after = min(max(int(np.searchsorted(self.t_s, t_s)), 1), self.t_s.size - 1)
        from_s, to_s = self.t_s[after - 1], self.t_s[after]
        share = min(max((t_s - from_s) / (to_s - from_s), 0.0), 1.0) if to_s > from_s else 1.0
        return replace(self.first, shows_pa=self.pa[after - 1] + share * (self.pa[after] - self.pa[after - 1]))


def air_model_of(tested: TrainUnderTest, faults: tuple[Cause, ...] = ()) -> AirModel:
    """The air of a train, to be played with. Raises OutsideModelError for one without air."""
    air = train_air_of(tested.train, tested.outside_pa)
    under_test = AirUnderTest(tested, air, ())
    network = air.network
    if faults:
        areas_m2 = leaking(under_test, faults, [leak.leak_area_m2 for leak in network.brakes[: len(under_test.vehicles)]])
        leaks = [replace(leak, leak_area_m2=area) for leak, area in zip(network.brakes, areas_m2, strict=False)]
        network = replace(network, brakes=(*leaks, *network.brakes[len(leaks) :]))
    return AirModel(tested.train, air, fast_grid_of([network]), tested.outside_pa, under_test, faults)


def air_at_first(model: AirModel, values: Mapping[str, str], pipe_bar: Mapping[str, float], empty: frozenset[str]) -> LiveAir:
    """The air as found: each unit's brake pipe [bar, gauge]; ``empty``: units whose reservoirs were let out."""
    air, train = model.air, model.train
    stands = model.openings(values)
    main_bar = {unit.name: 0.0 if unit.name in empty else main_bar_of(unit) for unit in train.units}
    charge = air_charge_of(air, train, stands, PipePressures(pipe_bar, main_bar, empty))
    middle = (model.grid.edges_m[:-1] + model.grid.edges_m[1:]) / 2
    ends = np.array([end for end, _ in charge.pipe_pa])
    stretch = np.minimum(np.searchsorted(ends, middle), len(ends) - 1)
    pipe_pa = np.array([pressure for _, pressure in charge.pipe_pa])[stretch][:, None]
    gear = GearStart(np.reshape(charge.vessel_pa, (-1, 1)), np.reshape(charge.cylinder_pa, (-1, 1)), 0.0,
                     (stands.vessels,), (stands.distributors,))  # fmt: skip
    state = still_air_fast(model.grid, pipe_pa, 0.0, 0.0, 0.0, (stands.gates,), (stands.valves,), gear)
    first = advance_fast(model.grid, state, [()], 1e-3, model.probes)
    return LiveAir(model, first.state, stands, 1e-3, first.readings_pa[-1, :, 0])
