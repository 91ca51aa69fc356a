"""For investigators and exercises alone: how long trapped air holds a portion as cylinders leak. It counts nothing on a sheet.

Two bounds: the cylinder's own air alone, and a charged reservoir that keeps the cylinder up until it is no higher. Force at a
stand by the friction data, no more than the local rules' adhesion gives.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.formation.air_charge import main_bar_of
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_on_rail import friction_brake, full_bar, vehicles_of
from headstock.physics.brake_force import FrictionBrake
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.gradient import normal_force_n, slope_force_n
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.pipe_network import ATMOSPHERE_PA

AIR_K = 288.15
WATCHED_S = 86_400.0
STEP_SHARE = 0.005
"""A step lets out this share of the pressure above the atmosphere at most [-]."""


@dataclass(frozen=True, slots=True)
class LeakOff:
    """Seconds until the portion moves off: with the cylinder's air alone, and with the reservoir's too; None: longer than a day.

    0 where even full cylinders do not hold it; ``leak_mm2`` is the effective area of each cylinder's leak.
    """

    leak_mm2: float
    soonest_s: float | None
    latest_s: float | None


@dataclass(frozen=True, slots=True)
class _Trapped:
    """One vehicle: pressure [Pa, absolute], volume [m3], its friction brake, the most that the rail takes [N].

    ``spare_kg`` is what its reservoir gives before the pressure falls.
    """

    pressure_pa: float
    volume_m3: float
    spare_kg: float
    brake: FrictionBrake
    rail_n: float

    def force_n(self, cylinder_pa: float) -> float:
        """Force at a stand [N] at a cylinder pressure [Pa, gauge]."""
        return min(self.brake.force_n(max(cylinder_pa, 0.0), 0.0), self.rail_n)


def predict_leak_off(
    units: tuple[TrainUnit, ...], gradient: float, adhesion: float, leak_mm2: float, outside_pa: float = ATMOSPHERE_PA
) -> LeakOff:  # fmt: skip
    """Everything must be stated as for stopping. Gradient [rise/run], adhesion [-], each cylinder's leak [mm2], open air [Pa]."""
    mass_kg = sum(unit.unit_type.mass_kg for unit in units)
    pull = abs(slope_force_n(mass_kg, gradient))
    found = [
        _holds_for_s(_trapped(units, adhesion, gradient, with_reservoir, outside_pa), pull, leak_mm2 * 1e-6, outside_pa)
        for with_reservoir in (False, True)
    ]
    return LeakOff(leak_mm2, *found)


def _trapped(
    units: tuple[TrainUnit, ...], adhesion: float, gradient: float, with_reservoir: bool, outside_pa: float
) -> list[_Trapped]:  # fmt: skip
    vehicles = []
    for unit, vehicle, _ in vehicles_of(Train(units, ())):
        most, brake = full_bar(unit, vehicle.suffix), vehicle.friction_brake
        spec = _brake_spec(unit, vehicle.suffix)
        if most is None or brake is None or spec is None:
            continue
        friction = friction_brake(brake, most)
        rail = adhesion * normal_force_n(1e3 * vehicle.mass_t * brake.share_of_weight, gradient)
        volume_l = spec.cylinder_l + (spec.reservoir_l if with_reservoir else 0.0)

        full_pa = outside_pa + most * 1e5
        spare_pa = max(_reservoir_bar(unit, spec) - most, 0.0) * 1e5 if with_reservoir else 0.0
        spare_kg = spec.reservoir_l * 1e-3 * spare_pa / (GAS_CONSTANT_J_KG_K * AIR_K)
        vehicles.append(_Trapped(full_pa, volume_l * 1e-3, spare_kg, friction, rail))
    return vehicles


def _reservoir_bar(unit: TrainUnit, spec: DistributorSpec | WiredBrakeSpec) -> float:
    """What a charged reservoir stands at [bar, gauge]: as the main reservoir, or as the brake pipe was set."""
    if isinstance(spec, WiredBrakeSpec) or spec.reservoir_fed_by == "main reservoir pipe":
        return main_bar_of(unit)
    specs = [device for end in unit.unit_type.ends.values() for device in end.devices.values()]
    return max((device.set_pressure_bar for device in specs if isinstance(device, CabValveSpec)), default=0.0)


def _brake_spec(unit: TrainUnit, suffix: str) -> DistributorSpec | WiredBrakeSpec | None:
    for spec in unit.unit_type.devices.values():
        if isinstance(spec, DistributorSpec | WiredBrakeSpec) and suffix in spec.acts_on_vehicles:
            return spec
    return None


def _holds_for_s(vehicles: list[_Trapped], pull_n: float, leak_m2: float, outside_pa: float) -> float | None:
    """Steps of a small share of what is left; every cylinder by its own law."""
    pressures = np.array([vehicle.pressure_pa for vehicle in vehicles])
    flows = [mass_flow_kg_s(leak_m2, p, outside_pa, AIR_K) for p in pressures]
    kept_s = np.array([vehicle.spare_kg / flow for vehicle, flow in zip(vehicles, flows, strict=True)])
    t = 0.0
    while sum(v.force_n(p - outside_pa) for v, p in zip(vehicles, pressures, strict=True)) >= pull_n > 0.0:
        if t > WATCHED_S:
            return None
        rates = np.array([
            mass_flow_kg_s(leak_m2, p, outside_pa, AIR_K) * GAS_CONSTANT_J_KG_K * AIR_K / v.volume_m3
            for v, p in zip(vehicles, pressures, strict=True)
        ])  # fmt: skip
        rates = np.where(t >= kept_s, rates, 0.0)
        step = STEP_SHARE * float(np.min((pressures - outside_pa) / np.maximum(rates, 1e-6)))
        step = min([step, *(kept - t for kept in kept_s if kept > t)])
        pressures, t = pressures - rates * step, t + step
    return None if pull_n == 0.0 else t
