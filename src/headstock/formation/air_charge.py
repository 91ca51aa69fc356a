"""How far a train's pipes, vessels and cylinders are charged before a run, from what its gauges showed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from headstock.base.conversion import BAR_PA
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.formation.air_network import absolute_pa
from headstock.formation.laid_pipe import LITRE
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_air import WALL, TrainAir, TrainOpenings, unit_of_vehicle
from headstock.formation.train_gear import BULB, CHAMBER, MAIN, RATE, RESERVOIR
from headstock.physics.volumes import equalised_pa


@dataclass(frozen=True, slots=True)
class AirCharge:
    """Stretches of pipe as (where it ends [m], pressure [Pa, absolute]); vessels [Pa, absolute], cylinders [Pa, gauge]."""

    pipe_pa: tuple[tuple[float, float], ...]
    vessel_pa: tuple[float, ...]
    cylinder_pa: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PipePressures:
    """Each unit's brake pipe and what feeds it, as gauges showed them just before [bar, gauge].

    ``drained``: units whose reservoirs, chambers and cylinders were let out by hand.
    """

    brake_bar: Mapping[str, float]
    main_bar: Mapping[str, float]
    drained: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class _Stood:
    """The same as absolute pressures [Pa], each unit's set pressure and the atmosphere's."""

    brake_pa: Mapping[str, float]
    main_pa: Mapping[str, float]
    set_pa: Mapping[str, float]
    outside_pa: float
    drained: frozenset[str]


def air_charge_of(air: TrainAir, train: Train, openings: TrainOpenings, shown: PipePressures) -> AirCharge:
    """The charge with each unit's pipes at their own pressures, as just before units become one.

    Control chambers stand at the set pressure, reservoirs at that of the pipe that feeds them, less what they gave the cylinders;
    cylinders at what pipe and chamber make of them, isolated ones empty. Lengths of hose cut off from every vehicle are empty.
    """
    outside_pa, units = air.network.atmosphere_pa, unit_of_vehicle(train)
    brake_pa, main_pa = (
        {unit: absolute_pa(bar, outside_pa) for unit, bar in bars.items()} for bars in (shown.brake_bar, shown.main_bar)
    )
    set_pa = {unit.name: _set_pa(unit, outside_pa) for unit in train.units}
    stood = _Stood(brake_pa, main_pa, set_pa, outside_pa, shown.drained)
    cylinder_pa = {
        vehicle: 0.0 if setting.isolated else _cylinder_pa(units[vehicle], vehicle, stood)
        for vehicle, setting in zip(air.gear.distributors, openings.distributors, strict=True)
    }
    vessel_pa = []
    for number, (vehicle, what) in enumerate(air.gear.vessels):
        shut = openings.vessels[number].open <= 0.0
        vessel_pa.append(_vessel_pa(units[vehicle], vehicle, what, stood, cylinder_pa.get(vehicle, 0.0), shut))
    return AirCharge(_stretches(air, train, units, openings, stood), tuple(vessel_pa), tuple(cylinder_pa.values()))


def main_bar_of(unit: TrainUnit) -> float:
    """What a unit's main reservoir stands at when nothing says otherwise: working pressure, or between start and stop [bar]."""
    pipe, main = unit.unit_type.air_pipe("main reservoir pipe"), unit.unit_type.main_reservoir
    if pipe is not None and pipe.working_pressure_bar is not None:
        return pipe.working_pressure_bar
    return (main.starts_at_bar + main.stops_at_bar) / 2 if main is not None else 0.0


def _brake_of(unit: TrainUnit, vehicle: str) -> DistributorSpec | None:
    """Data of a vehicle's automatic brake; none where the brake is a wired one."""
    suffix = vehicle.removeprefix(unit.name)
    devices = unit.unit_type.devices.values()
    return next((spec for spec in devices if isinstance(spec, DistributorSpec) and suffix in spec.acts_on_vehicles), None)


def _set_pa(unit: TrainUnit, outside_pa: float) -> float:
    """The set pressure of the unit's cab valves; without a cab, as the open air: nothing in it was ever charged."""
    specs = [spec for end in unit.unit_type.ends.values() for spec in end.devices.values()]
    return max(
        (absolute_pa(spec.set_pressure_bar, outside_pa) for spec in specs if isinstance(spec, CabValveSpec)), default=outside_pa
    )


def _store_pa(unit: TrainUnit, brake: DistributorSpec, stood: _Stood) -> float:
    """What the reservoir was filled to before the brake was applied."""
    if brake.reservoir_fed_by == "brake pipe":
        return stood.set_pa[unit.name]
    main_pa = stood.main_pa[unit.name]
    return max(main_pa, stood.set_pa[unit.name]) if brake.reservoir_backed_by_brake_pipe_mm2 is not None else main_pa


def _cylinder_pa(unit: TrainUnit, vehicle: str, stood: _Stood) -> float:
    brake = _brake_of(unit, vehicle)
    if brake is None or unit.name in stood.drained:
        return 0.0
    pipe_pa = stood.brake_pa[unit.name]
    set_pa, most_pa, store_pa = stood.set_pa[unit.name], brake.cylinder_max_bar * BAR_PA, _store_pa(unit, brake, stood)
    fall_pa = set_pa - pipe_pa
    if fall_pa <= brake.applies_at_bar * BAR_PA:
        return 0.0
    if brake.control_chamber is None:
        ratio = brake.reservoir_l / brake.cylinder_l
        equal_pa = equalised_pa(store_pa, brake.reservoir_l * LITRE, stood.outside_pa, brake.cylinder_l * LITRE)
        return max(0.0, min(fall_pa * ratio, equal_pa - stood.outside_pa, most_pa))
    asked_pa = max(brake.control_chamber.cylinder_bar_per_bar * fall_pa, brake.control_chamber.first_step_bar * BAR_PA)
    return max(0.0, min(asked_pa, most_pa, store_pa - stood.outside_pa))


def _vessel_pa(unit: TrainUnit, vehicle: str, what: str, stood: _Stood, cylinder_pa: float, shut: bool) -> float:
    main_pa = stood.main_pa[unit.name]
    if what == MAIN:
        return main_pa
    drained = unit.name in stood.drained
    if drained or what not in (CHAMBER, RESERVOIR, BULB, RATE):
        return stood.outside_pa if drained or shut else main_pa
    brake = _brake_of(unit, vehicle)
    if brake is None:
        return main_pa
    pipe_pa = stood.brake_pa[unit.name]
    if what == RESERVOIR:
        spent_pa = cylinder_pa * brake.cylinder_l / brake.reservoir_l if brake.reservoir_fed_by == "brake pipe" else 0.0
        return _store_pa(unit, brake, stood) - spent_pa
    if what == BULB:
        return pipe_pa if cylinder_pa > 0.0 else stood.outside_pa
    return stood.set_pa[unit.name] if what == CHAMBER else pipe_pa


def _stretches(
    air: TrainAir, train: Train, units: Mapping[str, TrainUnit], openings: TrainOpenings, stood: _Stood
) -> tuple[tuple[float, float], ...]:  # fmt: skip
    """Unit by unit up to the meeting of the hoses; sections of hose alone at the atmosphere's pressure."""
    places = {name: gate.at_m for name, gate in zip(air.gates, air.network.gates, strict=True)}
    joints = tuple(str(joint) for joint in train.joints)
    bounds = sorted({at_m for name, at_m in places.items() if name.startswith((WALL, *joints))})
    shut = [gate.at_m for gate, setting in zip(air.network.gates, openings.gates, strict=True) if setting.open <= 0.0]
    cuts = sorted({0.0, *shut, air.network.length_m})
    found: list[tuple[float, float]] = []
    vehicles = _vehicle_places(air)
    for low, high in pairwise(cuts):
        holds = any(low < place < high for place in vehicles)
        inside = sorted({bound for bound in bounds if low < bound < high})
        for start, end in pairwise([low, *inside, high]):
            found.append((end, _pressure_pa(air, units, (start + end) / 2, stood) if holds else stood.outside_pa))
    return tuple(found)


def _vehicle_places(air: TrainAir) -> tuple[float, ...]:
    names = {vehicle for vehicle, _ in air.gear.vessels} | set(air.leaks)
    return tuple(places[name] for places in (air.brake_m, air.main_m) for name in names if name in places)


def _pressure_pa(air: TrainAir, units: Mapping[str, TrainUnit], at_m: float, stood: _Stood) -> float:
    """The pipe of the nearest unit there: between joints and walls there is one unit."""
    main = not air.brake_m or at_m >= air.network.gear.second_from_m
    places, found_pa = (air.main_m, stood.main_pa) if main else (air.brake_m, stood.brake_pa)
    near = min(
        (abs(places[name] - at_m), unit.name)
        for name, unit in units.items()
        if name in places
    )  # fmt: skip
    return found_pa[near[1]]
