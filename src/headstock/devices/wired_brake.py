"""Brake commanded by wires alone: own reservoirs fed from the main reservoir, no brake pipe and no distributor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.distributor import LET_OFF_BAR, vehicle_place
from headstock.devices.kind import At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable


class WiredBrakeSpec(DeviceSpec):
    """The vehicles it acts on, and for each of these: volumes [l], choke as an effective area [mm2], times [s].

    The reservoir is fed by the main reservoir pipe or, without one, by the unit's main reservoir. Times as they are measured on
    one vehicle: filling until 95 % of the most, release from the most until 0.4 bar.
    """

    kind: Literal["wired brake"]
    acts_on_vehicles: tuple[str, ...] = Field(
        min_length=1, description="suffixes of the vehicles that have it; the figures below are those of one vehicle"
    )
    reservoir_l: float = Field(gt=0, le=500, description="brake reservoir [l]")
    reservoir_choke_mm2: float = Field(
        gt=0, le=200, description="from main reservoir pipe or main reservoir to it, never back [mm2, effective]"
    )
    cylinder_l: float = Field(gt=0, le=200, description="brake cylinders together, as they draw on the reservoir [l]")
    max_bar: float = Field(gt=LET_OFF_BAR, le=10, description="most that the wires give the cylinder [bar gauge]")
    fill_s: float = Field(gt=0, le=60, description="from nothing to 95 % of that [s]")
    release_s: float = Field(gt=0, le=120, description="from that down to 0.4 bar [s]")


class WiredBrake(DeviceKind):
    """The wired brake of one unit."""

    name = "wired brake"
    Spec = WiredBrakeSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        places = [vehicle_place(at, suffix) for suffix in spec.acts_on_vehicles]
        return tuple(Variable(place.key(), ("in use", "isolated"), "device", f"brake of {place.where}") for place in places)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {vehicle_place(at, suffix).key(): "in use" for suffix in spec.acts_on_vehicles}


KIND = WiredBrake()
