"""What a unit type says about running, stopping, meeting and drawing power. All of it may be left out: then it is not stated.

A question that needs what is left out is answered "not stated for type X", never guessed.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Point = tuple[Annotated[float, Field(ge=0)], Annotated[float, Field(ge=0)]]
"""Two figures that belong together."""


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class FrictionSpec(_Part):
    """Friction of blocks or pads: one figure, a table by speed, or the published law of cast iron blocks."""

    law: Literal["constant", "table", "cast iron blocks"] = Field(
        description="`constant`, `table` by speed, or `cast iron blocks` (Karwatzki's law, to 120 km/h and 60 kN a block)"
    )
    coefficient: float | None = Field(default=None, gt=0, le=1, description="of `constant`: friction [-]")
    points: tuple[Point, ...] = Field(
        default=(), description="of `table`: pairs of speed [km/h] and friction [-], speeds rising from 0"
    )
    up_to_kmh: float | None = Field(
        default=None, gt=0, le=400, description="of `constant`: the speed up to which the figure is given [km/h]"
    )

    @model_validator(mode="after")
    def _has_what_its_law_needs(self) -> FrictionSpec:
        wrong = []
        if (self.law == "constant") != (self.coefficient is not None and self.up_to_kmh is not None):
            wrong.append("coefficient and up_to_kmh belong to law: constant, both")
        if (self.law == "table") != bool(self.points):
            wrong.append("points belong to law: table")
        if self.points:
            wrong += _rising(self.points, "points", False)
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


class PayloadSpec(_Part):
    """What a vehicle may carry beyond its mass in working order."""

    laden_t: float = Field(gt=0, le=150, description="normal payload [t]")
    exceptional_t: float = Field(gt=0, le=150, description="exceptional payload, the most it ever carries [t]")
    source: str = Field(min_length=1, description="key in `sources`")

    @model_validator(mode="after")
    def _exceptional_is_more(self) -> PayloadSpec:
        if self.exceptional_t < self.laden_t:
            raise ValueError("exceptional_t must not be below laden_t")
        return self


class FrictionBrakeSpec(_Part):
    """One vehicle's friction brake: force on its blocks or pads with the cylinder at its most, and their friction."""

    pressed_kn: float = Field(
        gt=0, le=2000, description="force on all blocks or pads together, cylinder at `cylinder_max_bar` or `max_bar` [kN]"
    )
    starts_at_bar: float = Field(
        ge=0, le=2, description="cylinder pressure up to which the return springs hold them off [bar gauge]"
    )
    pieces: int = Field(ge=1, le=64, description="number of blocks, or of pads")
    rim_share: float = Field(
        default=1.0, gt=0, le=1, description="radius at which pads act over that of the wheel [-]; 1 for blocks"
    )
    share_of_weight: float = Field(
        default=1.0, gt=0, le=1, description="share of the vehicle's weight on axles that it brakes [-]"
    )
    friction: FrictionSpec = Field(description="friction of blocks or pads")
    load_sensing: tuple[Point, ...] = Field(
        default=(),
        description="pairs of payload [t] and force pressed over that of working order [-], from [0, 1], held beyond the last; "
        "left out where the brake knows no load",
    )
    braked_weight_t: float | None = Field(
        default=None,
        gt=0,
        le=400,
        description="rated braked weight in position P and working order, as on the vehicle [t]; it grows as the force pressed",
    )
    source: str = Field(min_length=1, description="key in `sources`")

    @model_validator(mode="after")
    def _load_sensing_begins_in_working_order(self) -> FrictionBrakeSpec:
        if not self.load_sensing:
            return self
        wrong = _rising(self.load_sensing, "load_sensing", False)
        if self.load_sensing[0] != (0, 1):
            wrong.append("load_sensing must begin at [0, 1]: pressed_kn is that of working order")
        if any(low[1] > high[1] for low, high in pairwise(self.load_sensing)):
            wrong.append("load_sensing: no less force for more load")
        if wrong:
            raise ValueError("; ".join(dict.fromkeys(wrong)))
        return self


class ElectricRetardationSpec(_Part):
    """One vehicle's electric brake as it takes the place of friction: the greater of both forces counts."""

    force_kn: float = Field(gt=0, le=400, description="greatest force at the rail [kN]")
    points: tuple[Point, ...] = Field(
        min_length=2, description="pairs of speed [km/h] and share of that force [-], speeds rising from 0"
    )
    delay_s: float = Field(ge=0, le=10, description="from the command until it begins [s]")
    rise_s: float = Field(gt=0, le=20, description="from then until all of it is there [s]")
    counts_in_emergency: bool = Field(description="whether an emergency stop may count on it")
    source: str = Field(min_length=1, description="key in `sources`")

    @model_validator(mode="after")
    def _points_rise(self) -> ElectricRetardationSpec:
        wrong = _rising(self.points, "points", False)
        if any(share > 1 for _, share in self.points):
            wrong.append("points: a share is at most 1")
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


class ResistanceSpec(_Part):
    """Running resistance of the unit on straight level track: a + b v + c v2, v in km/h."""

    constant_n: float = Field(ge=0, le=1e6, description="a [N]")
    per_kmh_n: float = Field(ge=0, le=1e5, description="b [N per km/h]")
    per_kmh2_n: float = Field(ge=0, le=1e4, description="c [N per (km/h)2]")
    up_to_kmh: float = Field(gt=0, le=400, description="speed up to which it was measured [km/h]")
    breakaway_n_per_tonne: float | None = Field(
        default=None, ge=0, le=500, description="what it takes to get rolling, for each tonne [N per t]; never a help to hold"
    )
    source: str = Field(min_length=1, description="key in `sources`")


class NotchSpec(_Part):
    """One notch of the power controller: the pull at the rail at a stand, and how long until it is there."""

    word: str = Field(min_length=1, max_length=12, description="what it is called")
    pull_kn: float = Field(gt=0, le=1000, description="pull at the rail, at a stand [kN]")
    after_s: float = Field(ge=0, le=30, description="from taking the notch until the pull is there [s]")


class TractionSpec(_Part):
    """What the unit pulls with at a stand, notch by notch."""

    notches: tuple[NotchSpec, ...] = Field(min_length=1, max_length=20, description="notches from the least pull up")
    share_of_weight: float = Field(gt=0, le=1, description="share of the unit's weight on driven axles [-]")
    source: str = Field(min_length=1, description="key in `sources`")

    @model_validator(mode="after")
    def _notches_rise(self) -> TractionSpec:
        pulls = [notch.pull_kn for notch in self.notches]
        if pulls != sorted(set(pulls)):
            raise ValueError("notches: pull_kn must rise from notch to notch")
        return self


class SupplySpec(_Part):
    """What the unit draws from a wire or rail, and where its pantographs stand."""

    standing_a: float = Field(ge=0, le=10_000, description="current drawn standing, all services on [A]")
    greatest_a: float = Field(gt=0, le=10_000, description="greatest current drawn [A]")
    pantographs_m: tuple[Annotated[float, Field(ge=0, le=400)], ...] = Field(
        default=(), description="where raised pantographs stand, from end 1 [m]"
    )
    source: str = Field(min_length=1, description="key in `sources`")


class DraftGearSpec(_Part):
    """Draft gear of an end, or between two vehicles of a unit: force over stroke."""

    law: Literal["linear", "preloaded", "power law", "measured"] = Field(description="form of the curve")
    stroke_mm: float = Field(gt=0, le=1000, description="stroke until it is shut [mm]")
    force_kn: float = Field(gt=0, le=10_000, description="force when it is shut; of `measured` the last point's [kN]")
    preload_kn: float | None = Field(
        default=None, gt=0, le=5000, description="of `preloaded`: force at which it begins to move [kN]"
    )
    exponent: float | None = Field(default=None, ge=1, le=5, description="of `power law`: exponent of the stroke [-]")
    points: tuple[Point, ...] = Field(
        default=(), description="of `measured`: pairs of stroke [mm] and force [kN], both rising from 0"
    )
    gives_back: float = Field(gt=0, le=1, description="share of the force that it gives back letting out [-]")
    frame_kn: float = Field(gt=0, le=10_000, description="most that the frame behind it takes in push without harm [kN]")
    source: str = Field(min_length=1, description="key in `sources`")

    @model_validator(mode="after")
    def _has_what_its_law_needs(self) -> DraftGearSpec:
        needs = {"preloaded": "preload_kn", "power law": "exponent", "measured": "points"}
        wrong = [
            f"{field} belongs to law: {law}" for law, field in needs.items() if (self.law == law) != bool(getattr(self, field))
        ]
        if self.preload_kn is not None and self.preload_kn >= self.force_kn:
            wrong.append("preload_kn must be below force_kn")
        if self.points:
            wrong += _rising(self.points, "points", True)
            if self.points[-1] != (self.stroke_mm, self.force_kn):
                wrong.append("points must end at stroke_mm and force_kn")
        if wrong:
            raise ValueError("; ".join(wrong))
        return self


def _rising(points: tuple[Point, ...], name: str, both: bool) -> list[str]:
    wrong = []
    if points[0][0] != 0 or (both and points[0][1] != 0):
        wrong.append(f"{name} must begin at 0")
    if any(not low[0] < high[0] or (both and not low[1] < high[1]) for low, high in pairwise(points)):
        wrong.append(f"{name} must rise from one to the next")
    return wrong
