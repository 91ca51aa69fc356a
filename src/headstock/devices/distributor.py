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
    release: Literal["direct", "graduated"] = Field(
        description="direct: any rise of the brake pipe lets the brake off; graduated: as far as it rises"
    )
    electro_pneumatic: Literal["none", "two-wire"] = Field(
        description="how the brake worked by wires is wired, `none` without one"
    )
    acts_on_vehicles: tuple[str, ...] = Field(
        min_length=1, description="suffixes of the vehicles that have it; the figures below are those of one vehicle"
    )
    control_chamber_l: float = Field(gt=0, le=50, description="control chamber [l]")
    control_chamber_choke_mm2: float = Field(gt=0, le=100, description="from pipe to chamber, never back [mm2, effective]")
    reservoir_l: float = Field(gt=0, le=500, description="auxiliary reservoir [l]")
    reservoir_choke_mm2: float = Field(gt=0, le=200, description="from pipe to reservoir, never back [mm2, effective]")
    reservoir_fed_by: Pipe = Field(description="the pipe that fills the reservoir")
    cylinder_l: float = Field(gt=0, le=200, description="brake cylinders together, as they draw on the reservoir [l]")
    cylinder_bar_per_bar: float = Field(
        gt=0, le=10, description="rise of the cylinder for each bar that the brake pipe falls [bar per bar]"
    )
    cylinder_max_bar: float = Field(gt=0, le=10, description="most that the cylinder gets [bar gauge]")
    cylinder_fill_s: float = Field(gt=0, le=60, description="time constant of the cylinder as it fills [s]")
    cylinder_release_s: float = Field(gt=0, le=120, description="time constant of the cylinder as it lets off [s]")


class Distributor(DeviceKind):
    """The automatic brake of one unit."""

    name = "automatic brake"
    Spec = DistributorSpec


KIND = Distributor()
