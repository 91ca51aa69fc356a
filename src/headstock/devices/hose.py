"""Air hose with its half coupling: on its dummy, hanging, or joined to its fellow."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.end_cock import COCK_Y_MM, PIPE_INK, PIPE_X_MM, Pipe, cock_key
from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Disc, Mark
from headstock.devices.scene import COUPLE, PULLED
from headstock.devices.strokes import curve, line, shape
from headstock.reasoning.variable import Fact, Variable


class HoseSpec(DeviceSpec):
    """Which pipe, the pattern of its half coupling, length [m], bore [mm], loss on the velocity head [-] with its coupling."""

    kind: Literal["hose"]
    pipe: Pipe = Field(description="which pipe")
    half_coupling: str = Field(min_length=1, description="pattern of the half coupling; two like ones join")
    length_m: float = Field(gt=0, lt=3, description="length with its coupling [m]")
    bore_mm: float = Field(gt=5, lt=80, description="bore [mm]")
    loss: float = Field(ge=0, le=50, description="loss of hose and half coupling, in velocity heads [-]")
    as_left: Literal["on its dummy", "hanging"] = Field(description=AS_LEFT)


class Hose(DeviceKind):
    """One hose."""

    name = "hose"
    Spec = HoseSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        domain = ("on its dummy", "hanging", "joined")
        return (Variable(at.key(), domain, "device", f"{spec.pipe} hose of {at.where}"),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        cock = (cock_key(at), "shut")
        return (
            Act(f"take the {spec.pipe} hose of {at.where} off its dummy", "between", "end", "hose_off_dummy", "between",
                needs=((at.key(), "on its dummy"), cock, (COUPLE, "locked")), effects=((at.key(), "hanging"),),
                knows=(cock,), order=(1,), at=at),
            Act(f"put the {spec.pipe} hose of {at.where} on its dummy", "between", "end", "hose_off_dummy", "dress",
                needs=((at.key(), "hanging"), cock), effects=((at.key(), "on its dummy"),),
                brief=f"{spec.pipe.capitalize()} hose of {at.where} on its dummy.", order=(1,), at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pipe == other.pipe and spec.half_coupling == other.half_coupling)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        pipe = near[1].pipe
        ends = (near[0], far[0])
        cocks = tuple((cock_key(at), "shut") for at in ends)
        rank = 0 if pipe == "brake pipe" else 1
        return (
            Act(f"join the {pipe} hoses of {near[0].where} and {far[0].where}", "between", "end", "join_hoses",
                "between", needs=(*((at.key(), "hanging") for at in ends), *cocks, (PULLED, "held")),
                effects=tuple((at.key(), "joined") for at in ends), knows=cocks,
                brief=f"{pipe.capitalize()} hoses, seated, no kink.", order=(1, rank), at=near[0],
                caution="Shut does not always mean empty: turn the face away."),
        )  # fmt: skip

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """Both cocks shut and the hoses without air: vented by a cock, or the pipe empty (the order of work sees to that)."""
        pipe, ends = near[1].pipe, (near[0], far[0])
        cocks = tuple((cock_key(at), "shut") for at in ends)
        rank = 0 if pipe == "brake pipe" else 1
        return (
            Act(f"part the {pipe} hoses of {near[0].where} and {far[0].where}", "between", "end", "join_hoses", "between",
                needs=(*((at.key(), "joined") for at in ends), *cocks), effects=tuple((at.key(), "hanging") for at in ends),
                knows=cocks, brief=f"Part the {pipe} hoses once no air is heard.", order=(4, rank), at=near[0],
                caution="A hose under pressure swings hard: part it only after it has been heard to vent, face turned away."),
        )  # fmt: skip

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "joined" if position == "joint" and mated else "on its dummy"),)

    def left_safe(self, at: At, spec: Any, state: Mapping[str, str]) -> tuple[Fact, ...]:
        return ((at.key(), "on its dummy"),) if state[at.key()] == "hanging" else ()

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        x, y = PIPE_X_MM[spec.pipe], COCK_Y_MM - 85
        side, ink = (-1 if x < 0 else 1), PIPE_INK[spec.pipe]
        if values[""] == "on its dummy":
            far = x + side * 225
            home = curve((x, y), (x, y - 330), (far, y - 330), (far, y - 10), ink=ink, weight="rail")
            return (
                home,
                line((far - 50, y + 10), (far + 50, y + 10), weight="frame"),
                line((far, y + 10), (far, y + 185), weight="mark"),
            )
        if values[""] == "joined":
            near = x + side * 60
            sag = curve((x, y), (x, y - 180), (near, y - 280), (near, y - 330), ink=ink, weight="rail")
            low = y - 390
            return (sag, shape((near, low - 70), (near + 55, low), (near, low + 70), (near - 55, low), fill="ink"))
        fall = curve((x, y), (x, y - 180), (x + side * 40, y - 260), (x + side * 40, y - 390), ink=ink, weight="rail")
        return (fall, Disc(x + side * 40, y - 435, 45, fill="ground"))


KIND = Hose()
