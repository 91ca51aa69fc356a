"""How far a train's pipe, control chambers, reservoirs and cylinders are charged before a run, from what its gauges showed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from headstock.devices.air_pipe import AirPipeSpec
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.formation.air_network import AirNetwork, AirOpenings, absolute_pa
from headstock.formation.air_reach import air_reach_of
from headstock.formation.train import Train, TrainUnit
from headstock.physics.pipe_network import ATMOSPHERE_PA


@dataclass(frozen=True, slots=True)
class AirCharge:
    """Stretches of pipe as (where it ends [m], pressure [Pa, absolute]); vessels per brake, cylinders [Pa, gauge]."""

    pipe_pa: tuple[tuple[float, float], ...]
    chamber_pa: tuple[float, ...]
    reservoir_pa: tuple[float, ...]
    cylinder_pa: tuple[float, ...]


def air_charge_of(network: AirNetwork, train: Train, openings: AirOpenings, pipe_bar: Mapping[str, float]) -> AirCharge:
    """The charge with each unit's pipe at its own gauge pressure [bar], as just before units become one.

    Chambers and reservoirs stand at the set pressure, reservoirs on the main reservoir pipe at that pipe's working pressure,
    cylinders at what pipe and chamber make of them. Lengths of hose cut off from every vehicle are empty.
    """
    units = {unit.vehicle_name(suffix): unit for unit in train.units for suffix in unit.vehicle_suffixes}
    chamber_pa, reservoir_pa, cylinder_pa = [], [], []
    for name, brake in zip(network.brakes, network.network.brakes, strict=True):
        unit = units[name]
        set_pa, store_pa = _set_pa(unit), _store_pa(unit, name.removeprefix(unit.name))
        target_pa = brake.gain * (set_pa - absolute_pa(pipe_bar[unit.name]))
        chamber_pa.append(set_pa)
        reservoir_pa.append(store_pa)
        cylinder_pa.append(max(0.0, min(target_pa, brake.cylinder_max_pa, store_pa - ATMOSPHERE_PA)))
    return AirCharge(_stretches(network, train, openings, pipe_bar), tuple(chamber_pa), tuple(reservoir_pa), tuple(cylinder_pa))


def _set_pa(unit: TrainUnit) -> float:
    """The set pressure of the unit's cab valves; without a cab, as the open air: nothing in it was ever charged."""
    specs = [spec for end in unit.unit_type.ends.values() for spec in end.devices.values()]
    return max((absolute_pa(spec.set_pressure_bar) for spec in specs if isinstance(spec, CabValveSpec)), default=ATMOSPHERE_PA)


def _store_pa(unit: TrainUnit, suffix: str) -> float:
    """What the reservoir of a vehicle's brake was filled to."""
    devices = unit.unit_type.devices.values()
    brakes = [spec for spec in devices if isinstance(spec, DistributorSpec) and suffix in spec.acts_on_vehicles]
    mains = [spec for spec in devices if isinstance(spec, AirPipeSpec) and spec.pipe == "main reservoir pipe"]
    if brakes and brakes[0].reservoir_fed_by == "main reservoir pipe" and mains and mains[0].working_pressure_bar is not None:
        return absolute_pa(mains[0].working_pressure_bar)
    return _set_pa(unit)


def _stretches(
    network: AirNetwork, train: Train, openings: AirOpenings, pipe_bar: Mapping[str, float]
) -> tuple[tuple[float, float], ...]:
    """Unit by unit up to the meeting of the hoses; sections of hose alone at the atmosphere's pressure."""
    ends = [network.position_m[str(joint)] for joint in train.joints if str(joint) in network.position_m]
    bounds = [*ends, network.network.length_m]
    names = [unit.name for unit in train.units if unit.name in network.position_m]
    found: list[tuple[float, float]] = []
    for section in air_reach_of(network, openings).sections:
        holds_vehicle = any(key in network.brakes for key in section.keys)
        for name, bound_m in zip(names, bounds, strict=True):
            end_m = min(bound_m, section.to_m)
            if end_m > section.from_m and end_m > (found[-1][0] if found else 0.0):
                found.append((end_m, absolute_pa(pipe_bar[name]) if holds_vehicle else ATMOSPHERE_PA))
    return tuple(found)
