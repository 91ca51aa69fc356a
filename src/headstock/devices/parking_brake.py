"""Spring parking brake of a unit: put on and off from its cabs, holds without air."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, model_validator

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable


class ParkingBrakeSpec(DeviceSpec):
    """Force at the rail of each vehicle that has it [kN], and the share of that vehicle's weight on its braked axles."""

    kind: Literal["parking brake"]
    vehicles: tuple[str, ...] = Field(min_length=1, description="suffixes of the vehicles that have it")
    force_per_vehicle_kn: float = Field(gt=0, le=200, description="force at the rail of each of these [kN]")
    share_of_weight: float = Field(gt=0, le=1, description="share of such a vehicle's weight on the axles that it brakes [-]")
    cylinder_l: float = Field(gt=0, le=50, description="spring cylinders of one such vehicle, filled to hold the springs off [l]")
    choke_mm2: float = Field(gt=0, le=100, description="from main reservoir pipe to spring cylinder, never back [mm2, effective]")
    vent_mm2: float = Field(gt=0, le=100, description="from spring cylinder to the open air when it is put on [mm2, effective]")
    off_above_bar: float = Field(gt=0, le=10, description="springs held off altogether at and above this [bar gauge]")
    full_below_bar: float = Field(ge=0, le=10, description="springs with all their force at and below this [bar gauge]")
    indicator: str = Field(min_length=3, description="what the indicator shows, in words")
    indicator_at: Literal["cab", "beside"] = Field(default="cab", description="where it is read: in the cab, or beside the unit")
    released_by_hand: str | None = Field(
        default=None,
        min_length=3,
        description="how its springs are released by hand at each vehicle, in words, where they can be",
    )
    set_again_by_hand: str | None = Field(
        default=None,
        min_length=3,
        description="how springs released by hand are set again at each vehicle, without air, in words; left out where not",
    )
    as_left: Literal["on", "off"] = Field(description=AS_LEFT)

    @model_validator(mode="after")
    def _springs_in_order(self) -> ParkingBrakeSpec:
        if self.full_below_bar >= self.off_above_bar:
            raise ValueError("full_below_bar must be below off_above_bar: springs act more the less air holds them")
        return self


class ParkingBrake(DeviceKind):
    """The parking brake of one unit, worked as one."""

    name = "parking brake"
    Spec = ParkingBrakeSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("on", "off"), "device", f"parking brake of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        on, off = (at.key(), "on"), (at.key(), "off")
        where, seen, read = at.where, f"Indicator: {spec.indicator}.", f"read the parking brake indicator of {at.where}"
        return (
            Act(f"put on the parking brake of {where}", "holds", "cab", "parking_brake", "hold", needs=(off,),
                effects=(on,), brief=f"Parking brake of {where} on.", at=at),
            Act(f"{read}: on", "looks at holds", spec.indicator_at, "look", "hold", needs=(on,),
                shows=(on,), brief=f"Parking brake of {where} seen on. {seen}", at=at),
            Act(f"take off the parking brake of {where}", "holds", "cab", "parking_brake", "leave", needs=(on,),
                effects=(off,), brief=f"Parking brake of {where} off.", at=at,
                caution="First: what holds it then?"),
            Act(f"{read}: off", "holds", spec.indicator_at, "look", "leave", needs=(off,),
                shows=(off,), brief=f"Parking brake of {where} seen off. {seen}", at=at),
        )  # fmt: skip


def spring_variable(at: At) -> Variable:
    """Whether one vehicle's springs act when the parking brake is on; ``at`` names the vehicle."""
    phrases = (("released by hand", f"springs of {at.where} released by hand"), ("acting", f"springs of {at.where} act"))
    return Variable(at.key("springs"), ("acting", "released by hand"), "device", f"springs of {at.where}", phrases=phrases)


def release_by_hand(at: At, spec: ParkingBrakeSpec) -> Act:
    """One vehicle's springs released by hand: nothing puts them on again but a workshop, or air."""
    key = at.key("springs")
    said = f"release the springs of {at.where} by hand: {spec.released_by_hand}; log it"
    return Act(said, "holds", "beside", "release_by_hand", "leave",
               needs=((key, "acting"),), effects=((key, "released by hand"),), at=at,
               brief=f"Springs of {at.where} by hand ({spec.released_by_hand}), logged.",
               caution="No parking brake there any more until it is set again: logged, told, labelled.")  # fmt: skip


def set_again(at: At, spec: ParkingBrakeSpec) -> Act:
    """One vehicle's springs, released by hand before, set again: with the parking brake on they act at once."""
    key = at.key("springs")
    return Act(f"set the springs of {at.where} again: {spec.set_again_by_hand}; log it", "holds", "beside", "release_by_hand",
               "hold", needs=((key, "released by hand"),), effects=((key, "acting"),), at=at, order=(1,),
               brief=f"Springs of {at.where} set again ({spec.set_again_by_hand}), logged.",
               caution="Hands clear: they go on as they are set. Not one forgotten: it holds nothing.")  # fmt: skip


KIND = ParkingBrake()
