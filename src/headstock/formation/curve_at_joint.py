"""The curve at a joint: its radius, and how the two vehicles that meet stand on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.physics.curve_throw import MAX_RADIUS_M, MIN_RADIUS_M

Bend = Literal["one curve", "end of a curve", "reverse curve"]
BENDS: tuple[str, ...] = get_args(Bend)
BEND_WORDS = (
    "how the vehicles at the joint stand: both on `one curve`, one on the straight (`end of a curve`), or on a `reverse curve`"
)


@dataclass(frozen=True, slots=True)
class CurveAtJoint:
    """Radius [m] and bend; where nobody says how it bends, the worst is taken: a reverse curve."""

    radius_m: float
    bend: Bend | None = None

    @property
    def words(self) -> str:
        """As people say it, with what was assumed."""
        if self.bend is None:
            return f"a curve of {self.radius_m:g} m (how it bends is not said: taken as a reverse curve)"
        a = {"one curve": "one curve", "end of a curve": "the end of a curve", "reverse curve": "a reverse curve"}[self.bend]
        return f"{a} of {self.radius_m:g} m"


def curve_from(radius_m: float | None, bend: str | None) -> CurveAtJoint | None:
    """A curve as somebody gives it, None for straight track. Raises InputError with every fault."""
    faults = []
    if radius_m is not None and not MIN_RADIUS_M <= radius_m <= MAX_RADIUS_M:
        faults.append(Fault("no radius of a curve", found=f"{radius_m:g}", expected=f"{MIN_RADIUS_M:g} to {MAX_RADIUS_M:g} m"))
    if bend is not None and bend not in BENDS:
        faults.append(Fault("no bend of a curve", found=bend, expected=" or ".join(BENDS), nearest=nearest_of(bend, BENDS)))
    if bend is not None and radius_m is None:
        faults.append(Fault("a bend without a radius", found=bend, expected="the radius of the curve with it"))
    if faults:
        raise InputError(faults)
    return CurveAtJoint(radius_m, bend) if radius_m is not None else None  # type: ignore[arg-type]
