"""End lamps: white head lamp and red tail lamp of one end, built in or hung on a bracket, worked from the ground or a cab."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, Literal

from pydantic import Field, model_validator

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position, Spot
from headstock.devices.marks import Disc, Lettering, Mark
from headstock.devices.scene import COUPLE
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable

JOINED: Final[Fact] = (COUPLE, "locked")
"""Lamps of ends that are joined are seen to once the couple is made."""


class LampSpec(DeviceSpec):
    """Which lamp this is, and who reaches it from where; a portable one hangs on a bracket and is kept elsewhere."""

    kind: Literal["lamp"]
    shows: Literal["white", "red"] = Field(description="white ahead or red behind")
    worked_from: Literal["ground", "cab"] = Field(
        default="ground",
        description="where one stands to light it or put it out: `ground`, before the end (between, where ends are joined), "
        "or `cab`, the cab of this end",
    )
    hangs_on: str | None = Field(
        default=None, min_length=3, description="of a portable lamp: the bracket or hook that it hangs on, in words"
    )
    stowed: str | None = Field(
        default=None, min_length=3, description="of a portable lamp: where it is kept, as `loose_gear` of the unit says"
    )
    as_left: Literal["lit", "off"] = Field(description=f"{AS_LEFT}; a portable one that is off is in its stowage")

    @model_validator(mode="after")
    def _is_portable_or_not(self) -> LampSpec:
        if (self.hangs_on is None) != (self.stowed is None):
            raise ValueError("a portable lamp says both where it hangs (hangs_on) and where it is kept (stowed)")
        if self.hangs_on is not None and self.worked_from == "cab":
            raise ValueError("a portable lamp is hung by hand: worked_from must be ground")
        return self

    @property
    def is_portable(self) -> bool:
        """Whether it is carried to its bracket."""
        return self.hangs_on is not None


class Lamp(DeviceKind):
    """One lamp (or pair worked as one)."""

    name = "lamp"
    Spec = LampSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        label = f"{spec.shows} lamp of {at.where}"
        if not spec.is_portable:
            return (Variable(at.key(), ("lit", "off"), "device", label, sign=True),)
        phrases = (("lit", f"{label} hung on its bracket, lit"), ("off", f"{label} out, in its stowage"))
        return (Variable(at.key(), ("lit", "carried", "off"), "device", label, sign=True, phrases=phrases),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        if spec.is_portable:
            return _portable_acts(at, spec)
        spot: Spot = "cab" if spec.worked_from == "cab" else "end"
        place = ", in its cab" if spot == "cab" else ""
        return tuple(
            Act(f"{verb} the {spec.shows} lamp of {at.where}{place}", "between", spot, "lamp", "between",
                needs=((at.key(), here), JOINED), effects=((at.key(), there),),
                brief=f"{spec.shows.capitalize()} lamp of {at.where} {there}{place}.", order=(5,), at=at)
            for verb, here, there in (("light", "off", "lit"), ("put out", "lit", "off"))
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        lit = (position == "front" and spec.shows == "white") or (position == "rear" and spec.shows == "red")
        return ((at.key(), "lit" if lit else "off"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        x, y = (-1080.0 if spec.shows == "white" else 1080.0), 1720.0
        if spec.is_portable and values[""] != "lit":  # an empty bracket
            return (line((x - 67, y + 95), (x - 67, y - 95)), line((x - 67, y - 95), (x + 67, y - 95)))
        if values[""] == "off":
            return (Disc(x, y, 95, fill="ground"), line((x - 67, y - 67), (x + 67, y + 67)))
        if spec.shows == "red":
            return (box(x, y, 240, 240), Disc(x, y, 95, fill="ink"), Lettering(x, y - 42, "R", 120, "ground"))
        rays = tuple(line((x + dx * 120, y + dy * 120), (x + dx * 170, y + dy * 170))
                     for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)))  # fmt: skip
        return (Disc(x, y, 95, fill="ground"), Lettering(x, y - 42, "W", 110), *rays)


def _portable_acts(at: At, spec: Any) -> tuple[Act, ...]:
    """Fetched and hung up lit; taken down and stowed. By hand and foot, so each is an act of its own."""
    key, lamp, kept = at.key(), f"{spec.shows} lamp of {at.where}", f"{at.unit}: {spec.stowed}"
    short, unit = f"{spec.shows.capitalize()} lamp of {at.where}", At(at.unit, at.name)
    return (
        Act(f"take the {lamp} from {kept}", "between", "beside", "loose_gear", "between", needs=((key, "off"),),
            effects=((key, "carried"),), brief=f"{short} from {kept}.", order=(4,), at=unit),
        Act(f"hang the {lamp} on {spec.hangs_on}, lit", "between", "end", "lamp", "between", needs=((key, "carried"), JOINED),
            effects=((key, "lit"),), brief=f"{short} on {spec.hangs_on}, lit.", order=(5,), at=at),
        Act(f"take the {lamp} down from {spec.hangs_on}", "between", "end", "lamp", "between", needs=((key, "lit"), JOINED),
            effects=((key, "carried"),), brief=f"{short} down.", order=(5,), at=at),
        Act(f"stow the {lamp} in {kept}", "between", "beside", "loose_gear", "between", needs=((key, "carried"),),
            effects=((key, "off"),), brief=f"{short} stowed: {kept}.", order=(6,), at=unit),
    )  # fmt: skip


KIND = Lamp()
