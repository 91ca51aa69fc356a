"""End cock of a pipe: shut or open, venting its hose side when shut or not; which way its handle lies is data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal

from pydantic import Field, model_validator

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec, Position
from headstock.devices.marks import Disc, Ink, Mark
from headstock.devices.scene import PULLED
from headstock.devices.strokes import box, line
from headstock.reasoning.variable import Fact, Variable

Pipe = Literal["brake pipe", "main reservoir pipe"]
PIPES: tuple[Pipe, ...] = ("brake pipe", "main reservoir pipe")
PIPE_X_MM = {"brake pipe": -400.0, "main reservoir pipe": 400.0}
COCK_Y_MM = 745.0
"""Centre of a cock below the headstock, above rail, on the drawing."""
HEADSTOCK_FOOT_MM = 850.0
"""Where pipes come out below the headstock's own line."""
PIPE_INK: dict[str, Ink] = {"brake pipe": "brake_pipe", "main reservoir pipe": "main_reservoir_pipe"}


VENT_CAUTION = "It may vent hard as it shuts: hands and face away from the vent."
"""Beside a cock that lets its hose out (common practice, no source)."""


class EndCockSpec(DeviceSpec):
    """Which pipe, whether the shut cock vents its hose side, how the handle lies when open and when shut.

    The discharge coefficient [-] is that of the open cock on the bore of the pipe. `vent_area_mm2`, the effective area of the
    vent, is stated exactly when `vents_hose_when_shut`.
    """

    kind: Literal["end cock"]
    pipe: Pipe = Field(description="which pipe")
    vents_hose_when_shut: bool = Field(description="whether the shut cock lets the hose side out")
    vent_area_mm2: float | None = Field(
        default=None, gt=0, le=200, description="the vent [mm2, effective]; stated exactly when it vents"
    )
    discharge_coefficient: float = Field(gt=0, le=1, description="effective area of the open cock over the area of the bore [-]")
    handle_when_open: str = Field(min_length=3, description="how the handle lies when open, in words")
    handle_when_shut: str = Field(min_length=3, description="how the handle lies when shut, in words")
    as_left: Literal["open", "shut"] = Field(description=AS_LEFT)

    @model_validator(mode="after")
    def _area_of_a_vent_that_is_there(self) -> EndCockSpec:
        if self.vents_hose_when_shut and self.vent_area_mm2 is None:
            raise ValueError("a cock that vents its hose when shut must state its vent_area_mm2")
        if not self.vents_hose_when_shut and self.vent_area_mm2 is not None:
            raise ValueError("a cock that does not vent its hose when shut has no vent_area_mm2")
        return self


class EndCock(DeviceKind):
    """One end cock."""

    name = "end cock"
    Spec = EndCockSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("shut", "open"), "device", f"{spec.pipe} cock of {at.where}", fresh=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        return (
            Act(f"shut the {spec.pipe} cock of {at.where}", "between", "end", "cock", "dress",
                needs=((at.key(), "open"),), effects=((at.key(), "shut"),),
                brief=f"Shut the {spec.pipe} cock of {at.where}: handle {spec.handle_when_shut}.", at=at),
        )  # fmt: skip

    def mates(self, spec: Any, other: Any) -> bool:
        return bool(spec.pipe == other.pipe)

    def joint_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """Dead side (the standing portion) first, the live side slowly."""
        live, dead, pipe = near[0], far[0], near[1].pipe
        hoses = tuple((hose_key(at), "joined") for at in (live, dead))
        rank = 0 if pipe == "brake pipe" else 1
        whip = "Body clear of the hose, face turned away: a hose under pressure swings hard."
        return (
            Act(f"open the {pipe} cock of {dead.where}", "between", "end", "cock", "between",
                needs=((dead.key(), "shut"), (live.key(), "shut"), *hoses, (PULLED, "held")),
                effects=((dead.key(), "open"),),
                brief=f"{pipe.capitalize()} cocks: {dead.where} first, {live.where} slowly.", order=(3, rank, 0),
                at=dead, caution=whip),
            Act(f"open the {pipe} cock of {live.where} slowly", "between", "end", "cock_slowly", "between",
                needs=((live.key(), "shut"), (dead.key(), "open"), *hoses, (PULLED, "held")),
                effects=((live.key(), "open"),), order=(3, rank, 1), at=live, caution=whip),
        )  # fmt: skip

    def parting_acts(self, near: tuple[At, Any], far: tuple[At, Any]) -> tuple[Act, ...]:
        """The standing portion's first; nothing can rebound, for the brake pipe is empty then."""
        hoses = tuple((hose_key(at), "joined") for at in (near[0], far[0]))
        rank = 0 if near[1].pipe == "brake pipe" else 1

        def shut(at: At, spec: Any, needs: tuple[Fact, ...], number: int) -> Act:
            vent = "it is heard to vent" if spec.vents_hose_when_shut else "it does not vent: the hose beyond stays as it was"
            return Act(f"shut the joined {spec.pipe} cock of {at.where}", "between", "end", "cock", "between",
                       needs=((at.key(), "open"), *hoses, *needs), effects=((at.key(), "shut"),), order=(3, rank, number), at=at,
                       brief=f"Shut the {spec.pipe} cock of {at.where}: handle {spec.handle_when_shut}; {vent}.",
                       caution=VENT_CAUTION if spec.vents_hose_when_shut else "")  # fmt: skip

        return shut(*far, ((near[0].key(), "open"),), 0), shut(*near, ((far[0].key(), "shut"),), 1)

    def end_state(self, at: At, spec: Any, position: Position, mated: bool) -> tuple[Fact, ...]:
        return ((at.key(), "open" if position == "joint" and mated else "shut"),)

    def marks(self, spec: Any, values: Mapping[str, str]) -> tuple[Mark, ...]:
        x, y = (PIPE_X_MM[spec.pipe], COCK_Y_MM)
        ink = PIPE_INK[spec.pipe]
        if values[""] == "open":
            through = line((x, HEADSTOCK_FOOT_MM), (x, y - 75), ink=ink, weight="frame")
            return (Disc(x, y, 75, fill="ground"), through)
        # Shut: the pipe stops short of the block.
        pipe = line((x, HEADSTOCK_FOOT_MM), (x, y + 85), ink=ink, weight="frame")
        vents = tuple(line((x + 85 + step * 38, y - 35), (x + 70 + step * 38, y - 105), weight="hairline") for step in range(3))
        block = box(x, y, 108, 108, fill="ink")
        return (pipe, block, *(vents if spec.vents_hose_when_shut else ()))


def hose_key(cock: At) -> str:
    """Key of the hose that hangs on a cock: by the files' own naming, ``X_cock`` carries ``X_hose``."""
    return replace(cock, name=cock.name.removesuffix("_cock") + "_hose").key()


def cock_key(hose: At) -> str:
    """Key of the cock that a hose hangs on."""
    return replace(hose, name=hose.name.removesuffix("_hose") + "_cock").key()


KIND = EndCock()
