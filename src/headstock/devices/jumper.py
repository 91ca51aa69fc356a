"""Jumper: a cable that lives in a dummy on one end and is plugged and latched into the other end's socket."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Disc, Mark
from headstock.devices.scene import PULLED, supply_key
from headstock.devices.strokes import box, curve, line
from headstock.reasoning.variable import Fact, Variable

DEAD_CAUTION = "Supply off and proved off before a jumper is touched."


class JumperSpec(DeviceSpec):
    """Pattern of plug and socket, functions by pin, whether it carries power."""

    kind: Literal["jumper"]
    pattern: str = Field(min_length=1, description="pattern of plug and socket; two like ones join")
    pins: dict[str, str] = Field(min_length=1, description="what each pin carries, by its number")
    carries_power: bool = Field(description="whether it carries power, not signals alone")
    as_left: Literal["in its dummy", "hanging"] = Field(description=AS_LEFT)


class Jumper(DeviceKind):
    """One jumper cable with its socket."""

    name = "jumper"
    Spec = JumperSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        domain = ("in its dummy", "hanging", "entered", "latched")
        return (Variable(at.key(), domain, "device", f"jumper of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        return (
            Act(f"put the jumper of {at.where} in its dummy", "between", "end", "jumper", "dress",
                needs=((at.key(), "hanging"),), effects=((at.key(), "in its dummy"),),
                brief=f"Jumper of {at.where} in its dummy.", at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pattern == other.pattern and spec.pins == other.pins)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """The standing portion's cable is used; the other stays in its dummy."""
        cable, socket = far[0], near[0]
        dead = ((supply_key(near[0].unit), "off"), (supply_key(far[0].unit), "off"))

        def act(key: str, here: str, there: str, brief: str, rank: int) -> Act:
            return Act(key, "between", "end", "jumper", "between", needs=((cable.key(), here), *dead, (PULLED, "held")),
                       effects=((cable.key(), there),), knows=dead, brief=brief, order=(2, rank), at=cable,
                       caution=DEAD_CAUTION)  # fmt: skip

        return (
            act(f"take the jumper of {cable.where} out of its dummy", "in its dummy", "hanging", "", 0),
            act(f"enter the jumper of {cable.where} in {socket.where}", "hanging", "entered", "", 1),
            act(f"latch the jumper of {cable.where}", "entered", "latched", "Jumper in, latched, tugged.", 2),
            Act(
                f"tug the jumper of {cable.where}",
                "between",
                "end",
                "look",
                "between",
                needs=((cable.key(), "latched"),),
                shows=((cable.key(), "latched"),),
                order=(2, 3),
                at=cable,
                caution=DEAD_CAUTION,
            ),
        )

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        cable = far[0]
        dead = ((supply_key(near[0].unit), "off"), (supply_key(far[0].unit), "off"))
        return (
            Act(f"unlatch the jumper of {cable.where} and draw it out", "between", "end", "jumper", "between",
                needs=((cable.key(), "latched"), *dead), effects=((cable.key(), "hanging"),), knows=dead, order=(2, 0), at=cable,
                brief=f"Jumper of {cable.where} out, into its dummy.",
                caution=DEAD_CAUTION),
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "in its dummy"),)

    def left_safe(self, at: At, spec: Any, state: Mapping[str, str]) -> tuple[Fact, ...]:
        """Nothing may stay unlatched: what has entered is latched, what hangs goes back."""
        rest = {"hanging": "in its dummy", "entered": "latched"}.get(state[at.key()])
        return ((at.key(), rest),) if rest else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        x, y = -760.0, 1490.0
        socket = box(-x, y, 140, 140)
        # The dummy, and the gland by which the cable leaves the vehicle.
        stowed = box(x, y, 140, 140)
        gland = Disc(x + 200, y - 150, 30, fill="ink")
        if values[""] == "in its dummy":
            home = curve((x, y - 70), (x, y - 320), (x + 200, y - 320), (x + 200, y - 150), ink="electrical", dashed=True)
            return (home, gland, stowed, socket, box(x, y, 84, 84, ink="electrical", fill="electrical"),
                    line((x - 90, y + 95), (x + 90, y + 95), weight="frame"))  # fmt: skip
        if values[""] == "hanging":
            fall = curve((x + 200, y - 150), (x + 200, y - 400), (x + 40, y - 500), (x, y - 700), ink="electrical", dashed=True)
            return (stowed, socket, fall, gland, box(x, y - 740, 84, 84, ink="electrical", fill="electrical"))
        across = curve(
            (x + 200, y - 150), (x + 200, y - 300), (-x - 30, y - 300), (-x - 30, y - 70), ink="electrical", dashed=True
        )
        bar = line((-x - 90, y + 95), (-x + 90, y + 95), weight="frame")
        slanted = line((-x - 60, y + 95), (-x + 60, y + 190), weight="frame")
        if values[""] == "latched":
            return (stowed, socket, across, gland, box(-x, y, 84, 84, ink="electrical", fill="electrical"), bar)
        # Entered: the plug stands proud of its socket.
        proud = box(-x - 45, y - 45, 84, 84, ink="electrical", fill="electrical")
        return (stowed, socket, across, gland, proud, slanted)


KIND = Jumper()
