"""Automatic air brake of a unit: direct or graduated release, with or without an electro-pneumatic overlay."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from headstock.devices.end_cock import Pipe
from headstock.devices.kind import DeviceKind, DeviceSpec


class DistributorSpec(DeviceSpec):
    """How the brake releases, how its electro-pneumatic overlay is wired, the vehicles it acts on; the rest for each of these.

    Volumes [l]; chokes as effective areas [mm2], each with a check valve; cylinder pressure [bar, gauge] for each bar that the
    brake pipe falls, its greatest, and the time constants [s] of filling and release.
    """

    kind: Literal["automatic brake"]
    release: Literal["direct", "graduated"]
    electro_pneumatic: Literal["none", "two-wire"]
    acts_on_vehicles: tuple[str, ...] = Field(min_length=1)
    control_chamber_l: float = Field(gt=0, le=50)
    control_chamber_choke_mm2: float = Field(gt=0, le=100)
    reservoir_l: float = Field(gt=0, le=500)
    reservoir_choke_mm2: float = Field(gt=0, le=200)
    reservoir_fed_by: Pipe
    cylinder_l: float = Field(gt=0, le=200)
    cylinder_bar_per_bar: float = Field(gt=0, le=10)
    cylinder_max_bar: float = Field(gt=0, le=10)
    cylinder_fill_s: float = Field(gt=0, le=60)
    cylinder_release_s: float = Field(gt=0, le=120)


class Distributor(DeviceKind):
    """The automatic brake of one unit."""

    name = "automatic brake"
    Spec = DistributorSpec


KIND = Distributor()
