"""Automatic air brake of a unit: direct or graduated release, with or without an electro-pneumatic overlay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from headstock.devices.end_cock import Pipe
from headstock.devices.kind import Act, At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Fact, Variable

LET_OFF_BAR = 0.4
"""Gauge pressure [bar] down to which a release is measured (UIC 540, from memory)."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class ControlChamber(_Part):
    """The chamber that a graduated release measures the brake pipe against."""

    volume_l: float = Field(gt=0, le=50, description="control chamber [l]")
    choke_mm2: float = Field(gt=0, le=100, description="between pipe and chamber, both ways, while released [mm2, effective]")
    cylinder_bar_per_bar: float = Field(
        gt=0, le=10, description="pressure in the cylinder for each bar that the pipe is below the chamber [bar per bar]"
    )
    first_step_bar: float = Field(ge=0, le=2, description="least that the cylinder gets once the brake applies [bar gauge]")


class Accelerator(_Part):
    """A bulb that takes air from the pipe at once when the brake applies, so that the next one applies sooner."""

    bulb_l: float = Field(gt=0, le=10, description="bulb [l]")
    choke_mm2: float = Field(gt=0, le=200, description="from pipe to bulb when the brake applies [mm2, effective]")
    empties_mm2: float = Field(gt=0, le=200, description="from bulb to the open air while released [mm2, effective]")


class EmergencyVent(_Part):
    """An opening from the pipe to the open air at each vehicle when the pipe falls faster than a chamber can follow."""

    chamber_l: float = Field(gt=0, le=10, description="chamber that follows the pipe [l]")
    choke_mm2: float = Field(gt=0, le=50, description="between pipe and that chamber, both ways [mm2, effective]")
    opens_at_bar: float = Field(gt=0, lt=3, description="opens when the pipe is so far below the chamber [bar]")
    vent_mm2: float = Field(gt=0, le=1000, description="from pipe to the open air [mm2, effective]")
    shuts_at_bar: float = Field(gt=0, lt=4, description="shuts again when the pipe is down to this [bar gauge]")


class ElectricBrake(_Part):
    """The same cylinders filled and emptied by wires, from the reservoir that the automatic brake has as well."""

    max_bar: float = Field(gt=LET_OFF_BAR, le=10, description="most that the wires give the cylinder [bar gauge]")
    fill_s: float = Field(gt=0, le=60, description="from nothing to 95 % of that [s]")
    release_s: float = Field(gt=0, le=120, description="from that down to 0.4 bar [s]")


class DistributorSpec(DeviceSpec):
    """How the brake releases, how its electro-pneumatic overlay is wired, the vehicles it acts on; the rest for each of these.

    Volumes [l], openings as effective areas [mm2]. Times as they are measured on one vehicle: filling until 95 % of the most,
    release from the most until 0.4 bar. A graduated release states its ``control_chamber``; a direct one compares the pipe with
    its reservoir and has none.
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
    applies_at_bar: float = Field(gt=0, lt=1, description="applies when the pipe is so far below what it is compared with [bar]")
    releases_within_bar: float = Field(
        gt=0,
        lt=1,
        description="lets off altogether with the pipe within this of the chamber, or this much above the reservoir [bar]",
    )
    control_chamber: ControlChamber | None = Field(default=None, description="graduated release alone: what it compares with")
    reservoir_l: float = Field(gt=0, le=500, description="auxiliary reservoir [l]")
    reservoir_choke_mm2: float = Field(
        gt=0, le=200, description="from pipe to reservoir [mm2, effective]; back into the pipe only with direct release"
    )
    reservoir_fed_by: Pipe = Field(description="the pipe that fills the reservoir")
    reservoir_backed_by_brake_pipe_mm2: float | None = Field(
        default=None,
        gt=0,
        le=200,
        description="where the main reservoir pipe fills it: the brake pipe does too, when higher, through this [mm2, effective]",
    )
    cylinder_l: float = Field(gt=0, le=200, description="brake cylinders together, as they draw on the reservoir [l]")
    cylinder_max_bar: float = Field(gt=LET_OFF_BAR, le=10, description="most that the cylinder gets [bar gauge]")
    cylinder_fill_s: float = Field(gt=0, le=60, description="from nothing to 95 % of the most [s]")
    cylinder_release_s: float = Field(gt=0, le=120, description="from the most down to 0.4 bar [s]")
    accelerator: Accelerator | None = Field(default=None, description="bulb that hastens the next vehicle's brake, if it has one")
    emergency_vent: EmergencyVent | None = Field(default=None, description="opening at each vehicle in emergency, if it has one")
    electric: ElectricBrake | None = Field(default=None, description="the brake worked by wires, where `electro_pneumatic` is")

    @model_validator(mode="after")
    def _what_its_release_needs(self) -> DistributorSpec:
        wrong = []
        if (self.control_chamber is not None) != (self.release == "graduated"):
            needs = "must state its" if self.release == "graduated" else "compares with its reservoir and has no"
            wrong.append(f"a {self.release} release {needs} control_chamber")
        if (self.electric is not None) != (self.electro_pneumatic != "none"):
            needs = "must state" if self.electric is None else "has no"
            wrong.append(f"electro_pneumatic: {self.electro_pneumatic} {needs} electric")
        if self.reservoir_backed_by_brake_pipe_mm2 is not None and self.reservoir_fed_by == "brake pipe":
            wrong.append("a reservoir that the brake pipe feeds is not backed by it as well (reservoir_backed_by_brake_pipe_mm2)")
        if self.release == "direct" and self.reservoir_fed_by != "brake pipe":
            wrong.append("a direct release compares the brake pipe with a reservoir that it fills (reservoir_fed_by: brake pipe)")
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


class Distributor(DeviceKind):
    """The automatic brake of one unit."""

    name = "automatic brake"
    Spec = DistributorSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        places = [vehicle_place(at, suffix) for suffix in spec.acts_on_vehicles]
        return tuple(Variable(place.key(), ("in use", "isolated"), "device", f"brake of {place.where}") for place in places)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {vehicle_place(at, suffix).key(): "in use" for suffix in spec.acts_on_vehicles}


def vehicle_place(at: At, suffix: str) -> At:
    """The place of a unit's brake in one of its vehicles."""
    return replace(at, vehicle=f"{at.unit}{suffix}")


def cylinder_variable(at: At) -> Variable:
    """Whether the cylinders of one vehicle were let out by hand, and seen on again after it; ``at`` names the vehicle."""
    out, on = f"brake cylinders of {at.where} let out by hand", f"brake of {at.where} seen on again"
    domain = ("may hold air", "let out", "seen on")
    return Variable(
        at.key("cylinders"), domain, "device", f"brake cylinders of {at.where}", phrases=(("let out", out), ("seen on", on))
    )


def let_out_by_hand(at: At, secured: tuple[Fact, ...]) -> Act:
    """The cylinders of one vehicle let out by its cord, once the unit is secured."""
    key = at.key("cylinders")
    return Act(f"pull the release cord of {at.where} until no air is heard", "holds", "beside", "release_cord", "hold",
               needs=((key, "may hold air"), *secured), effects=((key, "let out"),), knows=secured, at=at, order=(4,),
               brief="Release cords until no air is heard: nothing but springs, hand brakes and scotches holds.",
               caution="Never on a vehicle that is not secured; never to free a brake that nobody can explain.")  # fmt: skip


def seen_on_again(at: At) -> Act:
    """A brake let off by hand may stay off: looked at with the tested brake applied."""
    key = at.key("cylinders")
    return Act(f"look at the brake of {at.where}: on again", "holds", "beside", "look_at_wheels", "leave",
               needs=((key, "let out"),), effects=((key, "seen on"),), at=at, order=(0,),
               brief="At each vehicle let out by hand: brake seen on again.",
               caution="A brake that was let off by hand and stays off: stop, say so, no further release.")  # fmt: skip


KIND = Distributor()
