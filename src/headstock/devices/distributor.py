"""Automatic air brake of a unit: direct or graduated release, with or without an electro-pneumatic overlay."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from headstock.devices.kind import DeviceKind, DeviceSpec


class DistributorSpec(DeviceSpec):
    """How the brake releases, how its electro-pneumatic overlay is wired, the share of vehicles it acts on."""

    kind: Literal["automatic brake"]
    release: Literal["direct", "graduated"]
    electro_pneumatic: Literal["none", "two-wire"]
    acts_on_vehicles: tuple[str, ...] = Field(min_length=1)


class Distributor(DeviceKind):
    """The automatic brake of one unit."""

    name = "automatic brake"
    Spec = DistributorSpec


KIND = Distributor()
