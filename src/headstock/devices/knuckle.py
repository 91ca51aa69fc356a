"""Drop-head knuckle coupler: raised and pinned for knuckle work, dropped to bare the hook for a screw coupling."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.devices.coupler import CouplerKind, Face
from headstock.devices.hook_screw import bare_hook, hook_face
from headstock.devices.kind import AS_LEFT, Act, At, DeviceSpec, Making
from headstock.devices.marks import Mark
from headstock.devices.scene import COUPLE, GAP, PULLED, SIDE_CAUTION, SLACK
from headstock.devices.strokes import box, line, shape
from headstock.reasoning.variable import Fact, Variable

DROP_MM = 475.0
"""How far a dropped head hangs below its place, on the drawing."""


class KnuckleLeft(BaseModel):
    """The state in which the coupler is left."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    head: Literal["raised", "dropped"] = Field(description="the head, in place or hanging")
    pin: Literal["home", "out"] = Field(description="the pin that holds the head up")
    keeper: Literal["in", "out"] = Field(description="what keeps the pin in")
    jaw: Literal["shut", "open"] = Field(description="the knuckle itself")


class KnuckleSpec(DeviceSpec):
    """Heights above rail [mm], rated pull [kN], and the words for what one looks at."""

    kind: Literal["drop-head knuckle"]
    contour: str = Field(min_length=1, description="contour of the knuckle; like ones close round one another")
    height_mm: float = Field(gt=500, lt=1300, description="centre of the raised head above the rail, unit new and empty [mm]")
    height_low_mm: float = Field(gt=500, lt=1300, description="the lowest it can come to by wear, load and suspension [mm]")
    height_high_mm: float = Field(gt=500, lt=1300, description="the highest it can come to [mm]")
    gathers_vertically_mm: float = Field(gt=0, lt=400, description="difference in height that the heads still take in [mm]")
    gathers_horizontally_mm: float | None = Field(
        default=None, gt=0, lt=800, description="difference sideways that the heads still take in [mm]; needed on a curve"
    )
    rated_pull_kn: float = Field(gt=0, le=4000, description="rated pull [kN]")
    closes_from_kmh: float | None = Field(
        default=None, gt=0, le=8, description="least speed at which it closes by the blow [km/h]; left out where any does"
    )
    hook_moves_and_takes_buff: bool = Field(description="whether the hook under the dropped head moves and takes buffing loads")
    lock_sign: str = Field(min_length=3, description="what one sees from outside when it has locked")
    as_left: KnuckleLeft = Field(description=AS_LEFT)


class Knuckle(CouplerKind):
    """The drop-head knuckle coupler of one end."""

    name = "drop-head knuckle"
    Spec: ClassVar[type[DeviceSpec]] = KnuckleSpec
    face_form = "knuckle X"

    def faces(self, spec: Any) -> tuple[Face, ...]:
        return (Face(f"knuckle {spec.contour}"), hook_face(spec))

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        where = at.where
        return (
            Variable(at.key("head"), ("raised", "dropped"), "device", f"head of {where}"),
            Variable(at.key("pin"), ("home", "out"), "device", f"head pin of {where}", sign=True),
            Variable(at.key("keeper"), ("in", "out"), "device", f"pin keeper of {where}", sign=True),
            Variable(at.key("jaw"), ("shut", "open"), "device", f"knuckle of {where}"),
        )

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(slot): value for slot, value in spec.as_left.model_dump().items()}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        head, pin, keeper, jaw = (at.key(slot) for slot in ("head", "pin", "keeper", "jaw"))
        where, still_apart = at.where, (GAP, "apart")

        def act(key: str, allowance: str, needs: tuple[Fact, ...], effect: Fact, brief: str, caution: str = "") -> Act:
            return Act(key, "between", "end", allowance, "dress", (*needs, still_apart), (effect,), brief=brief,
                       caution=caution, order=(1,), at=at)  # fmt: skip

        return (
            act(f"raise the head of {where}", "raise_head", ((pin, "out"), (head, "dropped")), (head, "raised"),
                f"Head of {where} up.", "The head can fall: keep feet and hands from under it, the pin in sight."),
            act(f"push the head pin of {where} home", "head_pin", ((head, "raised"), (pin, "out")), (pin, "home"),
                "Pins home."),
            act(f"put the pin keeper of {where} in", "head_pin", ((pin, "home"), (keeper, "out")), (keeper, "in"),
                "Keepers in."),
            act(f"open the knuckle of {where}", "open_knuckle", ((head, "raised"), (jaw, "shut")), (jaw, "open"),
                f"Open one knuckle, {where}.", "Fingers out of the knuckle."),
            act(f"take the pin keeper of {where} out", "head_pin", ((keeper, "in"),), (keeper, "out"), ""),
            act(f"draw the head pin of {where}", "head_pin", ((pin, "home"), (keeper, "out")), (pin, "out"), "",
                "The head hangs on this pin: its weight taken first, feet clear."),
            act(f"let the head of {where} down", "lower_head", ((pin, "out"), (head, "raised")), (head, "dropped"),
                f"Head of {where} down, the hook bare.", "The head falls: keep feet and hands from under it."),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.contour == other.contour)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        ends = (near[0], far[0])
        kinds = tuple(_as_knuckle(spec) for _, spec in (near, far))
        seen = tuple(fact for kind, (at, spec) in zip(kinds, (near, far), strict=True) for fact in kind.before_touching(at, spec))
        sign = f"{near[1].lock_sign}, both sides"
        joint = f"{near[0].where} and {far[0].where}"
        return (
            *(kind._couple(at, joint, seen) for kind, at in zip(kinds, ends, strict=True)),
            Act(f"look at the lock of {joint}", "in charge", "joint", "look_both_sides", "join",
                needs=((GAP, "touching"), (COUPLE, "locked")), shows=((COUPLE, "locked"),),
                brief=f"Look: {sign}.", caution=SIDE_CAUTION),
            Act(f"watch the pull at {joint}", "in charge", "joint", "look_both_sides", "join",
                needs=((PULLED, "held"), (GAP, "touching")), shows=((PULLED, "held"),), brief="No gap seen.",
                caution=SIDE_CAUTION),
        )  # fmt: skip

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """The lock is lifted from the side with the couple eased; the knuckle opens as the portion draws away."""
        joint = f"{near[0].where} and {far[0].where}"
        kind = _as_knuckle(near[1])
        return (
            Act(f"lift the lock of {near[0].where} from the side", "in charge", "joint", "open_knuckle", "part",
                needs=((COUPLE, "locked"), (SLACK, "eased"), (GAP, "touching")),
                effects=((COUPLE, "apart"), *kind.opens(near[0])), brief=f"From the side: lift the lock of {near[0].where}.",
                order=(6,), at=near[0], caution="Stretched, it does not lift: ease up again, never reach in."),
            Act(f"look from the side that the lock of {joint} is up", "in charge", "joint", "look", "part",
                needs=((COUPLE, "apart"), (GAP, "touching")), shows=((COUPLE, "apart"),), order=(6, 1), at=near[0],
                brief="Lock seen up."),
        )  # fmt: skip

    def opens(self, at: At) -> tuple[Fact, ...]:
        """What lifting the lock does."""
        return ((at.key("jaw"), "open"),)

    def _couple(self, opened: At, joint: str, seen: tuple[Fact, ...]) -> Act:
        return Act(
            f"couple {joint} with the knuckle of {opened.where} open", "drives", "driving cab", "couple", "join",
            needs=(*seen, (opened.key("jaw"), "open")),
            effects=((GAP, "touching"), (COUPLE, "locked"), *self.closes(opened)),
            brief="Come on to couple, brake on contact.", at=opened,
        )  # fmt: skip

    def closes(self, at: At) -> tuple[Fact, ...]:
        """What the blow that couples does to an open knuckle."""
        return ((at.key("jaw"), "shut"),)

    def before_touching(self, at: At, spec: Any, making: Making = "direct") -> tuple[Fact, ...]:
        if making == "screw":
            return ((at.key("head"), "dropped"),)
        return ((at.key("head"), "raised"), (at.key("pin"), "home"), (at.key("keeper"), "in"))

    def left_safe(self, at: At, spec: Any, state: Mapping[str, str]) -> tuple[Fact, ...]:
        """A head that is up hangs on its pin: home, and kept."""
        return self.before_touching(at, spec) if state[at.key("head")] == "raised" else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        if values["head"] == "raised":
            return _head(spec.height_mm, values)
        # The hook stands bare; its head hangs below it on its own pin.
        return (*bare_hook(spec.height_mm), *_head(spec.height_mm - DROP_MM, values))


def _as_knuckle(spec: Any) -> Knuckle:
    """The kind that closes as a knuckle."""
    from headstock.devices.registry import kind_of  # noqa: PLC0415  the registry finds this module

    kind = kind_of(spec)
    if not isinstance(kind, Knuckle):
        raise TypeError(f"{spec.kind} does not close as a knuckle")
    return kind


def _head(y: float, values: Mapping[str, str]) -> tuple[Mark, ...]:
    """The head about its height [mm]: knuckle shut or swung out, pin and keeper above."""
    parts: list[Mark] = [
        box(0, y, 340, 340, weight="frame"),
        line((-170, y + 135), (-70, y + 95), (-70, y - 95), (-170, y - 135)),
    ]
    if values["jaw"] == "shut":
        parts.append(box(95, y, 85, 270, fill="ink"))
    else:
        parts.append(shape((140, y + 150), (330, y + 80), (330, y - 60), (140, y - 150)))
    high = y + (225 if values["pin"] == "home" else 300)
    parts += [line((-115, high), (115, high), weight="frame"), line((0, high), (0, y + 170), weight="frame")]
    if values["keeper"] == "in":
        parts.append(box(115, high, 45, 95, fill="ink"))
    return tuple(parts)


KIND = Knuckle()
