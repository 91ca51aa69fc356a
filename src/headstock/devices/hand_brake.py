"""Hand brake of one vehicle: holds without air."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from headstock.devices.kind import AS_LEFT, Act, At, DeviceKind, DeviceSpec
from headstock.reasoning.variable import Variable


class HandBrakeSpec(DeviceSpec):
    """Force at the rail [kN] when screwed on as taught, and the share of the vehicle's weight on its braked axles."""

    kind: Literal["hand brake"]
    force_kn: float = Field(gt=0, le=200, description="force at the rail when screwed on as taught [kN]")
    share_of_weight: float = Field(gt=0, le=1, description="share of the vehicle's weight on the axles that it brakes [-]")
    as_left: Literal["on", "off"] = Field(description=AS_LEFT)


class HandBrake(DeviceKind):
    """One hand brake."""

    name = "hand brake"
    Spec = HandBrakeSpec

    def variables(self, at: At, spec: Any) -> tuple[Variable, ...]:
        return (Variable(at.key(), ("on", "off"), "device", f"hand brake of {at.where}", sign=True),)

    def as_left(self, at: At, spec: Any) -> Mapping[str, str]:
        return {at.key(): spec.as_left}

    def acts(self, at: At, spec: Any) -> tuple[Act, ...]:
        on, off = (at.key(), "on"), (at.key(), "off")
        return (
            Act(f"screw on the hand brake of {at.where}", "holds", "beside", "hand_brake", "hold", needs=(off,),
                effects=(on,), brief=f"Hand brake on in {at.where}.", at=at),
            Act(f"look at the braked wheels of {at.where}", "looks at holds", "beside", "look_at_wheels", "hold",
                needs=(on,), shows=(on,), brief="Look at each braked wheel.", at=at),
            Act(f"take off the hand brake of {at.where}", "holds", "beside", "hand_brake", "leave", needs=(on,),
                effects=(off,), brief="Hand brakes off.", at=at,
                caution="First: what holds it then? It may spin as it lets go."),
            Act(f"look that the wheels of {at.where} are free", "holds", "beside", "look_at_wheels", "leave",
                needs=(off,), shows=(off,), brief="Look at each wheel: free.", at=at),
        )  # fmt: skip


KIND = HandBrake()
