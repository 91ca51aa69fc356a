"""A unit type as it stands under a load: heavier by its payload, its brake pressed harder where it senses the load.

Everything else stays that of working order: data say how low couplers come by load, and adhesion counts on no load at all.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import numpy as np

from headstock.equipment.running_data import FrictionBrakeSpec
from headstock.equipment.unit_type import UnitType, VehicleSpec

Load = Literal["working order", "laden", "exceptional"]
LOADS: tuple[Load, ...] = ("working order", "laden", "exceptional")
"""Loads for which a stop is reckoned (LOCPAS-TSI-1302-2014, 4.2.4.5.2(6))."""


def lacking_under(load: Load, types: Iterable[UnitType]) -> tuple[str, ...]:
    """What the types must state before they can be loaded, in words."""
    if load == "working order":
        return ()
    return tuple(
        f"not stated for type {one.type}: payload of vehicle {vehicle.suffix}"
        for one in {one.type: one for one in types}.values()
        for vehicle in one.vehicles
        if vehicle.payload is None
    )


def under_load(unit_type: UnitType, load: Load) -> UnitType:
    """The same type under a load; everything must be stated (`lacking_under`)."""
    if load == "working order":
        return unit_type
    return unit_type.model_copy(update={"vehicles": tuple(_loaded(vehicle, load) for vehicle in unit_type.vehicles)})


def _loaded(vehicle: VehicleSpec, load: Load) -> VehicleSpec:
    payload = vehicle.payload
    assert payload is not None
    payload_t = payload.laden_t if load == "laden" else payload.exceptional_t
    mass_t = vehicle.mass_t + payload_t
    # What turns weighs the same whatever is carried.
    share = None if vehicle.rotating_mass_share is None else vehicle.rotating_mass_share * vehicle.mass_t / mass_t
    brake = None if vehicle.friction_brake is None else _pressed(vehicle.friction_brake, payload_t)
    return vehicle.model_copy(update={"mass_t": mass_t, "rotating_mass_share": share, "friction_brake": brake})


def _pressed(brake: FrictionBrakeSpec, payload_t: float) -> FrictionBrakeSpec:
    """Pressed as hard as the load asks for; a brake that senses none as in working order."""
    if not brake.load_sensing:
        return brake
    loads_t, factors = ([point[n] for point in brake.load_sensing] for n in (0, 1))
    factor = float(np.interp(payload_t, loads_t, factors))
    rated = None if brake.braked_weight_t is None else brake.braked_weight_t * factor
    return brake.model_copy(update={"pressed_kn": brake.pressed_kn * factor, "braked_weight_t": rated})
