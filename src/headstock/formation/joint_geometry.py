"""How far two ends can stand apart: in height over wear, load and suspension, sideways on a curve; and what their heads gather.

Geometry: `physics.curve_throw`. Ends on one curve stand out on the same side, on a reverse curve on opposite ones; at the
end of a curve one stands on the straight. The angle of the heads is told, not judged: the data have no limit for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from headstock.base.quantities import whole_up
from headstock.formation.curve_at_joint import CurveAtJoint
from headstock.formation.join_way import TypeEnd, height_apart_mm
from headstock.physics.curve_throw import end_angle, outward_throw, overhang


@dataclass(frozen=True, slots=True)
class JointGeometry:
    """Apart in height and sideways [mm], what the heads gather [mm], their angle [degrees]; None: not there or not known.

    ``not_known`` names the data that a curve asks for and that are not given; ``track`` says what was reckoned with.
    """

    track: str
    height_apart_mm: float | None
    gathers_vertically_mm: float | None
    throws_mm: tuple[float, float] | None = None
    sideways_apart_mm: float | None = None
    gathers_horizontally_mm: float | None = None
    angle_deg: float | None = None
    not_known: tuple[str, ...] = ()

    def lines(self) -> tuple[str, ...]:
        """All of it in words."""
        return tuple(_lines(self))


def joint_geometry(first: TypeEnd, second: TypeEnd, curve: CurveAtJoint | None) -> JointGeometry:
    """Heights, and on a curve throw and angle, of two ends that face one another."""
    couplers = (first.coupler, second.coupler)
    has_heights = all(hasattr(one, "height_low_mm") for one in couplers)
    apart_mm = height_apart_mm(*couplers) if has_heights else None
    closing = all(hasattr(one, "gathers_vertically_mm") for one in couplers)
    vertically = _least(first, second, "gathers_vertically_mm") if closing else None
    if curve is None:
        return JointGeometry("straight track", apart_mm, vertically)
    sideways = _least(first, second, "gathers_horizontally_mm")
    lacking = tuple(dict.fromkeys((*lacking_on_a_curve(first), *lacking_on_a_curve(second))))
    shapes = [_shape(end) for end in (first, second)]
    if shapes[0] is None or shapes[1] is None:
        return JointGeometry(curve.words, apart_mm, vertically, gathers_horizontally_mm=sideways, not_known=lacking)
    one_m, other_m = (outward_throw(*shape, curve.radius_m) for shape in shapes if shape)
    angles = [end_angle(*shape, curve.radius_m) for shape in shapes if shape]
    by_bend = {
        "one curve": (abs(one_m - other_m), sum(angles)),
        "end of a curve": (max(one_m, other_m), max(angles)),
        "reverse curve": (one_m + other_m, abs(angles[0] - angles[1])),
    }
    apart_m, angle = by_bend[curve.bend or "reverse curve"]
    throws_mm = (1000 * one_m, 1000 * other_m)
    return JointGeometry(curve.words, apart_mm, vertically, throws_mm, 1000 * apart_m, sideways, math.degrees(angle), lacking)


def curve_reasons(geometry: JointGeometry) -> list[str]:
    """Why heads do not find one another on this curve; none on straight track."""
    if geometry.track == "straight track":
        return []
    if geometry.not_known:
        return [f"not here: on {geometry.track} it is not known whether the heads meet, {what}" for what in geometry.not_known]
    apart, least = geometry.sideways_apart_mm, geometry.gathers_horizontally_mm
    if apart is None or least is None or apart <= least:
        return []
    return [f"not here: on {geometry.track} the heads stand {whole_up(apart)} mm apart sideways, they gather {least:.0f} mm"]


def _shape(end: TypeEnd) -> tuple[float, float] | None:
    """Bogie centres and overhang [m] of the vehicle that carries an end."""
    centres_m = end.vehicle.bogie_centres_m
    return None if centres_m is None else (centres_m, overhang(end.vehicle.length_m, centres_m))


def lacking_on_a_curve(end: TypeEnd) -> Iterator[str]:
    """Data that a curve asks for and an end does not have."""
    if end.vehicle.bogie_centres_m is None:
        yield f"the data of {end.unit_type.type} give no bogie_centres_m for vehicle {end.vehicle.suffix}"
    if getattr(end.coupler, "gathers_horizontally_mm", 0.0) is None:
        yield f"the coupler of {end.name} has no gathers_horizontally_mm"


def _least(first: TypeEnd, second: TypeEnd, field: str) -> float | None:
    """The lesser of what two heads gather [mm]; a hook gathers nothing by itself and does not count."""
    found = [getattr(end.coupler, field, None) for end in (first, second)]
    return min((float(value) for value in found if value is not None), default=None)


def _lines(geometry: JointGeometry) -> Iterator[str]:
    if geometry.height_apart_mm is not None:
        gathers = geometry.gathers_vertically_mm
        tail = f", the heads gather {gathers:.0f} mm" if gathers is not None else ""
        yield f"heights can be {geometry.height_apart_mm:.0f} mm apart over wear, load and suspension{tail}"
    if geometry.throws_mm is None or geometry.sideways_apart_mm is None or geometry.angle_deg is None:
        yield from (f"on {geometry.track}: {what}" for what in geometry.not_known)
        return
    one, other = geometry.throws_mm
    apart = whole_up(geometry.sideways_apart_mm)
    yield f"on {geometry.track} the ends stand out by {whole_up(one)} mm and {whole_up(other)} mm, {apart} mm apart"
    gathers = geometry.gathers_horizontally_mm
    tail = f"; sideways the heads gather {gathers:.0f} mm" if gathers is not None else ""
    yield f"heads at an angle of {geometry.angle_deg:.1f} degrees{tail}"
