"""Fully automatic coupler: latch face with air ports that join by the same blow."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.devices.coupler import CouplerKind, Face
from headstock.devices.kind import AS_LEFT, Act, At, DeviceSpec, Making, Position
from headstock.devices.marks import Disc, Lettering, Mark
from headstock.devices.scene import COUPLE, GAP, PULLED, SIDE_CAUTION, SLACK
from headstock.devices.strokes import box, line, shape
from headstock.reasoning.variable import Fact, Variable


class AutomaticLeft(BaseModel):
    """The state in which the coupler is left."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    cover: Literal["fitted", "removed"] = Field(description="the cover over the face")
    latch: Literal["ready", "turned"] = Field(description="the latch, ready to couple or turned")


class AutomaticCouplerSpec(DeviceSpec):
    """Face, heights [mm], gathering [mm], rated pull [kN], which pipes its ports carry."""

    kind: Literal["automatic coupler"]
    face: str = Field(min_length=1, description="pattern of the face; two like ones couple")
    face_of_en_16019: bool = Field(
        description="whether the face is the standard one of EN 16019 (type 10), for which EN 15020 has the rescue coupler"
    )
    height_mm: float = Field(gt=500, lt=1300, description="centre above the rail, unit new and empty [mm]")
    height_low_mm: float = Field(gt=500, lt=1300, description="the lowest it can come to by wear, load and suspension [mm]")
    height_high_mm: float = Field(gt=500, lt=1300, description="the highest it can come to [mm]")
    gathers_vertically_mm: float = Field(gt=0, lt=400, description="difference in height that it still takes in [mm]")
    gathers_horizontally_mm: float | None = Field(
        default=None, gt=0, lt=800, description="difference sideways that it still takes in [mm]; needed on a curve"
    )
    rated_pull_kn: float = Field(gt=0, le=4000, description="rated pull [kN]")
    closes_from_kmh: float | None = Field(
        default=None, gt=0, le=8, description="least speed at which it closes by the blow [km/h]; left out where any does"
    )
    ports: tuple[Literal["brake pipe", "main reservoir pipe"], ...] = Field(description="pipes that it joins by itself")
    coupled_sign: str = Field(min_length=3, description="what one sees when it has coupled")
    shown_in_cab: str | None = Field(
        default=None,
        min_length=3,
        description="what the cab shows when it has coupled, in words; left out where nothing",
    )
    hand_release: str | None = Field(
        default=None, min_length=3, description="the handle that turns the latch by hand, in words; left out where there is none"
    )
    release_needs_bar: float | None = Field(
        default=None, gt=0, le=12, description="main reservoir that its release by the button needs [bar gauge]"
    )
    as_left: AutomaticLeft = Field(description=AS_LEFT)


class AutomaticCoupler(CouplerKind):
    """The automatic coupler of one end."""

    name = "automatic coupler"
    Spec = AutomaticCouplerSpec
    face_form = "automatic coupler X"

    def faces(self, spec: Any) -> tuple[Face, ...]:
        return (Face(f"automatic coupler {spec.face}", is_en_16019=spec.face_of_en_16019),)

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (
            Variable(at.key("cover"), ("fitted", "removed"), "device", f"coupler cover of {at.where}"),
            Variable(at.key("latch"), ("ready", "turned", "locked"), "device", f"latch of {at.where}", sign=True),
        )

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(slot): value for slot, value in spec.as_left.model_dump().items()}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        cover, latch = at.key("cover"), at.key("latch")
        return (
            Act(f"take the coupler cover of {at.where} off", "between", "end", "cover", "dress",
                needs=((cover, "fitted"), (GAP, "apart")), effects=((cover, "removed"),),
                brief=f"Cover of {at.where} off, face clean.", order=(1,), at=at),
            Act(f"fit the coupler cover of {at.where}", "between", "end", "cover", "ends", needs=((cover, "removed"),),
                effects=((cover, "fitted"),), brief=f"Cover of {at.where} on.", order=(1,), at=at),
            Act(f"turn the latch of {at.where} back until it is ready", "between", "end", "latch", "dress",
                needs=((latch, "turned"), (GAP, "apart")), effects=((latch, "ready"),),
                brief=f"Latch of {at.where} back to ready.", order=(2,), at=at, caution="Fingers out of the latch."),
            Act(f"look at the face of {at.where}: clean, no ice, latch ready", "between", "end", "look", "dress",
                needs=((latch, "ready"), (cover, "removed"), (GAP, "apart")), shows=((latch, "ready"),), order=(3,), at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.face == other.face)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """Coupled by the blow; the cab shows it, or somebody looks. The latches are proved by the pull."""
        ends = (near, far)
        seen = tuple(fact for at, spec in ends for fact in self.before_touching(at, spec))
        joint = f"{near[0].where} and {far[0].where}"
        locked = tuple((at.key("latch"), "locked") for at, _ in ends)
        couple, pulled = (GAP, "touching"), ((PULLED, "held"), (GAP, "touching"))
        return (
            Act(f"couple {joint}", "drives", "driving cab", "couple", "join", needs=seen,
                effects=((GAP, "touching"), (COUPLE, "locked"), *locked), at=near[0],
                brief="Come on to couple, brake on contact."),
            *self._look(near[1], f"look at the couple of {joint}", (couple, (COUPLE, "locked")), (COUPLE, "locked")),
            *self._look(near[1], f"watch the pull at {joint}", pulled, (PULLED, "held")),
        )  # fmt: skip

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """By the cab's button, the couple eased; the ports shut by themselves as the latch turns."""
        ends = (near[0], far[0])
        joint = f"{near[0].where} and {far[0].where}"
        turned = tuple((at.key("latch"), "ready") for at in ends)
        return (
            Act(f"uncouple {joint} by the button", "drives", "driving cab", "uncouple", "part",
                needs=((COUPLE, "locked"), (SLACK, "eased"), (GAP, "touching")), effects=((COUPLE, "apart"), *turned), order=(6,),
                at=near[0], brief="Uncouple by the button.", caution="Nobody near the joint. No answer: stop, say so."),
            *self._look(near[1], f"look that {joint} is uncoupled", ((COUPLE, "apart"), (GAP, "touching")), (COUPLE, "apart")),
        )  # fmt: skip

    def _look(self, spec: Any, key: str, needs: tuple[Fact, ...], shows: Fact) -> tuple[Act, ...]:
        """From the cab where it is shown there, else standing clear of the joint."""
        parted = shows == (COUPLE, "apart")
        phase = "part" if parted else "join"
        if spec.shown_in_cab is None:
            sign = "Look: latch back, both sides." if parted else f"Look: {spec.coupled_sign}, both sides."
            return (Act(key, "in charge", "joint", "look_both_sides", phase, needs=needs, shows=(shows,), brief=sign,
                        caution="" if parted else SIDE_CAUTION),)  # fmt: skip
        sign = "Cab no longer shows the couple." if parted else f"Cab shows: {spec.shown_in_cab}."
        return (Act(f"{key}, as the cab shows it", "drives", "driving cab", "look", phase, needs=needs, shows=(shows,),
                    brief=sign),)  # fmt: skip

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        return ((at.key("cover"), "removed"), (at.key("latch"), "ready"))

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key("latch"), "locked"),) if position == "joint" and mated else ((at.key("cover"), "fitted"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        y = spec.height_mm
        if values["cover"] == "fitted":
            return (box(0, y, 620, 520, weight="frame", fill="plate"), Lettering(0, y - 40, "cover", 100))
        face = _cone_and_funnel if spec.face_of_en_16019 else _two_hooks
        parts: list[Mark] = [box(0, y, 620, 460, weight="frame"), *face(y, values["latch"])]
        if "main reservoir pipe" in spec.ports:
            parts.append(Disc(0, y + 160, 45, ink="main_reservoir_pipe", weight="frame"))
        if "brake pipe" in spec.ports:
            parts.append(Disc(0, y - 160, 45, ink="brake_pipe", weight="frame"))
        return tuple(parts)


def _cone_and_funnel(y: float, latch: str) -> tuple[Mark, ...]:
    """The standard face about its height [mm]: cone to the left, funnel to the right, the latch across the funnel."""
    sides = (Disc(-140, y, 110, fill="ink"), Disc(140, y, 110))
    if latch == "turned":
        return (*sides, line((140 - 78, y - 78), (140 + 78, y + 78)))
    if latch == "locked":
        return (*sides, line((140 - 110, y), (140 + 110, y), weight="frame"))
    return sides


def _two_hooks(y: float, latch: str) -> tuple[Mark, ...]:
    """A flat face about its height [mm]: a hook that stands out to the left, the pocket for the other's to the right."""
    hook = shape((-230, y + 110), (-60, y + 110), (-60, y + 40), (-140, y + 40), (-140, y - 110), (-230, y - 110), fill="ink")
    sides = (hook, box(145, y, 170, 220))
    if latch == "turned":
        return (*sides, line((60, y - 110), (230, y + 110)))
    if latch == "locked":
        return (*sides, line((60, y), (230, y), weight="frame"))
    return sides


KIND = AutomaticCoupler()
