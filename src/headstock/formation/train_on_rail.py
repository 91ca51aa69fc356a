"""A train as the integration along the rail takes it: masses, friction and adhesion, what cylinder pressures press."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from headstock.base.conversion import BAR_PA
from headstock.devices.distributor import DistributorSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.running_data import ElectricRetardationSpec, FrictionBrakeSpec, FrictionSpec, ResistanceSpec
from headstock.equipment.unit_type import VehicleSpec
from headstock.formation.not_stated import lacking_of_vehicles
from headstock.formation.train import Train, TrainUnit
from headstock.physics.arrays import Floats
from headstock.physics.brake_force import BlockLaw, FrictionBrake, karwatzki_law
from headstock.physics.braking_adhesion import design_adhesion_law
from headstock.physics.motion import MovingTrain, VehicleOnRail
from headstock.physics.resistance import RunningResistance, summed
from headstock.physics.speed_law import KMH, SpeedLaw, constant_law, law_through


def lacking_to_stop(units: Sequence[TrainUnit]) -> tuple[str, ...]:
    """What the types must state before a stop can be reckoned, in words."""
    return lacking_of_vehicles(units, "rotating_mass_share", "friction_brake")


def vehicles_of(train: Train) -> Iterator[tuple[TrainUnit, VehicleSpec, str]]:
    """Every vehicle in order, with its unit and its number."""
    for unit in train.units:
        by_suffix = {vehicle.suffix: vehicle for vehicle in unit.unit_type.vehicles}
        for suffix in unit.vehicle_suffixes:
            yield unit, by_suffix[suffix], unit.vehicle_name(suffix)


def axles_of(train: Train) -> int:
    """Number of axles."""
    return sum(vehicle.axles for _, vehicle, _ in vehicles_of(train))


def moving_train(train: Train, credits_resistance: bool = False, least_load: bool = False) -> MovingTrain:
    """The train on the rail. Resistance is left out unless it is to be credited: left out, a stop errs on the safe side."""
    parts = tuple(_on_rail(vehicle) for _, vehicle, _ in vehicles_of(train))
    length_m = sum(unit.unit_type.length_m for unit in train.units)
    law = design_adhesion_law(axles_of(train), least_load)
    if not credits_resistance:
        return MovingTrain(parts, law, length_m)
    return MovingTrain(parts, law, length_m, resistance_of(train.units))


def resistance_of(units: Sequence[TrainUnit]) -> RunningResistance:
    """Running resistance of units coupled. Raises KeyError where one does not state it."""
    found = [unit.unit_type.resistance for unit in units]
    if None in found:
        raise KeyError("resistance")
    return summed(tuple(_resistance(spec) for spec in found if spec is not None))


def _resistance(spec: ResistanceSpec) -> RunningResistance:
    return RunningResistance(spec.constant_n, spec.per_kmh_n / KMH, spec.per_kmh2_n / KMH**2, spec.up_to_kmh * KMH)


def _on_rail(vehicle: VehicleSpec) -> VehicleOnRail:
    brake, electric = vehicle.friction_brake, vehicle.electric_retardation
    law = friction_law(brake.friction).by_speed if brake is not None else constant_law("no brake", 0.0, 400.0 * KMH)
    share = brake.share_of_weight if brake is not None else 1.0
    return VehicleOnRail(1e3 * vehicle.mass_t, vehicle.rotating_mass_share or 0.0, law, share,
                         electric_law(electric) if electric is not None else None)  # fmt: skip


def friction_law(spec: FrictionSpec) -> BlockLaw:
    """Friction as its data say."""
    if spec.law == "cast iron blocks":
        return karwatzki_law()
    if spec.coefficient is not None and spec.up_to_kmh is not None:
        return BlockLaw(constant_law("friction", spec.coefficient, spec.up_to_kmh * KMH))
    return BlockLaw(law_through("friction", [(kmh * KMH, value) for kmh, value in spec.points]))


def electric_law(spec: ElectricRetardationSpec) -> SpeedLaw:
    """Share of the electric brake's force by speed; nothing beyond its last point."""
    points = [(kmh * KMH, value) for kmh, value in spec.points]
    if points[-1][0] < 400.0 * KMH:
        points += [(points[-1][0] + 1e-3, 0.0), (400.0 * KMH, 0.0)]
    return law_through("electric brake", points)


def friction_brake(spec: FrictionBrakeSpec, full_bar: float) -> FrictionBrake:
    """A vehicle's friction brake, full at its cylinder's most [bar, gauge]."""
    return FrictionBrake(
        friction_law(spec.friction), 1e3 * spec.pressed_kn, full_bar * BAR_PA, spec.starts_at_bar * BAR_PA, spec.pieces,
        spec.rim_share,
    )  # fmt: skip


def full_bar(unit: TrainUnit, suffix: str) -> float | None:
    """The most that a vehicle's cylinder gets [bar, gauge]; None without a brake."""
    for spec in unit.unit_type.devices.values():
        if isinstance(spec, DistributorSpec) and suffix in spec.acts_on_vehicles:
            return spec.cylinder_max_bar
        if isinstance(spec, WiredBrakeSpec) and suffix in spec.acts_on_vehicles:
            return spec.max_bar
    return None


def push_of(train: Train, cylinder_pa: Floats) -> Floats:
    """Push of every vehicle's friction brake [N] (samples, vehicles) from its cylinder [Pa, gauge], in the train's order."""
    push = np.zeros_like(cylinder_pa)
    for n, (unit, vehicle, _) in enumerate(vehicles_of(train)):
        most_bar = full_bar(unit, vehicle.suffix)
        if vehicle.friction_brake is not None and most_bar is not None:
            push[:, n] = friction_brake(vehicle.friction_brake, most_bar).push_n(cylinder_pa[:, n])
    return push
