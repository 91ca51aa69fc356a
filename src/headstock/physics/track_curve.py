"""Two vehicles that meet on a track of any curvature: how far apart their ends stand sideways, their angle, the gap in and out.

The track is a curvature that changes in straight lines along its length: straight, curve, transition, reverse. Each vehicle is
a straight line whose bogie centres lie on the middle of the track. Play of bogies and the tilt of the track are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats
from headstock.physics.curve_throw import MAX_RADIUS_M, MIN_RADIUS_M

GRID_M, PLACES_M = 0.05, 0.25
MARGIN_M = 60.0
"""Track reckoned with before the first and after the last point of the curvature [m]."""


@dataclass(frozen=True, slots=True)
class TrackCurve:
    """Curvature [1/m] by place [m], straight lines between, the first and the last held beyond; left turns positive."""

    at_m: tuple[float, ...]
    per_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class VehicleEndShape:
    """A vehicle at a joint: bogie centres 2a, overhang u to the coupling face, half width, body behind the face [m]."""

    bogie_centres_m: float
    overhang_m: float
    half_width_m: float = 0.0
    body_behind_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Meeting:
    """At one place: faces apart sideways [m], angle [rad], gap between the bodies on the tighter and on the wider side [m]."""

    at_m: float
    sideways_m: float
    angle_rad: float
    tight_gap_m: float
    wide_gap_m: float


def same_hand(radius_m: float) -> TrackCurve:
    """One curve without end."""
    return TrackCurve((0.0,), (1.0 / _checked(radius_m),))


def end_of_curve(radius_m: float, transition_m: float = 0.0) -> TrackCurve:
    """From the straight into a curve, at once or over a transition [m]."""
    return _into(0.0, 1.0 / _checked(radius_m), transition_m)


def reverse(radius_m: float, straight_m: float = 0.0) -> TrackCurve:
    """From a curve into one of the other hand, with a straight [m] between or none."""
    k = 1.0 / _checked(radius_m)
    if straight_m <= 0.0:
        return _into(k, -k, 0.0)
    return TrackCurve((-GRID_M, 0.0, straight_m, straight_m + GRID_M), (k, 0.0, 0.0, -k))


def _into(first: float, second: float, over_m: float) -> TrackCurve:
    return TrackCurve((0.0, max(over_m, GRID_M)), (first, second))


def _checked(radius_m: float) -> float:
    if not MIN_RADIUS_M <= radius_m <= MAX_RADIUS_M:
        raise OutsideModelError(f"radius_m: found {radius_m:g}, expected {MIN_RADIUS_M:g} to {MAX_RADIUS_M:g}")
    return radius_m


def worst_meeting(track: TrackCurve, first: VehicleEndShape, second: VehicleEndShape) -> Meeting:
    """The place along the track at which the faces stand furthest apart sideways, with the angle and gaps found anywhere.

    Angle: the greatest; gaps: the tightest and the widest anywhere. Raises OutsideModelError for a vehicle that fits no track.
    """
    for shape in (first, second):
        if not (shape.bogie_centres_m > 0.0 and shape.overhang_m >= 0.0):
            raise OutsideModelError("vehicle: expected bogie centres above 0 and an overhang of 0 or more")
    places = np.arange(track.at_m[0] - 40.0, track.at_m[-1] + 40.0, PLACES_M)
    sideways, angle, gaps = _met(places, _line(track), first, second)
    worst = int(np.argmax(sideways))
    return Meeting(float(places[worst]), float(sideways[worst]), float(angle.max()), float(gaps.min()), float(gaps.max()))


def _line(track: TrackCurve) -> tuple[Floats, Floats, Floats]:
    """The middle of the track by arc length, heading and place integrated by the trapezoid rule."""
    s = np.arange(track.at_m[0] - MARGIN_M - 40.0, track.at_m[-1] + MARGIN_M + 40.0, GRID_M)
    heading = _summed(np.interp(s, track.at_m, track.per_m))
    return s, _summed(np.cos(heading)), _summed(np.sin(heading))


def _summed(values: Floats) -> Floats:
    return np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * GRID_M)])


def _met(
    places: Floats, line: tuple[Floats, Floats, Floats], first: VehicleEndShape, second: VehicleEndShape
) -> tuple[Floats, Floats, Floats]:  # fmt: skip
    """At every place: sideways, angle, gap on either side (2, places). The first vehicle lies behind the joint."""
    s, x, y = line

    def point(at: Floats) -> Floats:
        return np.stack([np.interp(at, s, x), np.interp(at, s, y)])

    ends, ways = [], []
    for shape, sign in ((first, -1.0), (second, 1.0)):
        near = point(places + sign * shape.overhang_m)
        far = point(places + sign * (shape.overhang_m + shape.bogie_centres_m))
        along = (near - far) / np.hypot(*(near - far))
        ends.append(near + shape.overhang_m * along)
        ways.append(along)
    mean = ways[0] - ways[1]
    mean = mean / np.hypot(*mean)
    between = ends[1] - ends[0]
    angle = np.arccos(np.clip(-np.sum(ways[0] * ways[1], axis=0), -1.0, 1.0))
    gaps = np.stack([_gap(side, ways, (first, second), mean) for side in (-1.0, 1.0)])
    return np.abs(between[1] * mean[0] - between[0] * mean[1]), angle, gaps


def _gap(side: float, ways: Sequence[Floats], shapes: tuple[VehicleEndShape, VehicleEndShape], mean: Floats) -> Floats:
    """Distance between the bodies' corners on one side, along the joint, faces drawn together."""
    corners = []
    for along, shape, sign in zip(ways, shapes, (1.0, -1.0), strict=True):
        left = sign * np.stack([-along[1], along[0]])
        corners.append(side * shape.half_width_m * left - shape.body_behind_m * along)
    return np.asarray(np.sum((corners[1] - corners[0]) * mean, axis=0), dtype=np.float64)
