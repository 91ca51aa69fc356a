"""Two ends on a curve, at its end with and without a transition, and on a reverse curve: sideways, angle, gaps between bodies."""

from __future__ import annotations

import math
from dataclasses import dataclass

from headstock.formation.join_way import TypeEnd
from headstock.physics.curve_throw import overhang
from headstock.physics.track_curve import (
    Meeting,
    TrackCurve,
    VehicleEndShape,
    end_of_curve,
    reverse,
    same_hand,
    worst_meeting,
)

TRANSITION_M, STRAIGHT_M = 30.0, 10.0
"""Transition, and straight between two curves of other hand, that are looked at [m] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class MeetingOnTrack:
    """On one kind of track: apart sideways [mm], angle of the heads [degrees], gaps between bodies [mm] where stated."""

    track: str
    sideways_mm: float
    angle_deg: float
    tight_gap_mm: float | None
    wide_gap_mm: float | None


def lacking_on_curves(ends: tuple[TypeEnd, TypeEnd]) -> tuple[str, ...]:
    """What the types must state before two ends can be set on a curve, in words."""
    return tuple(
        dict.fromkeys(
            f"not stated for type {end.unit_type.type}: bogie_centres_m of vehicle {end.vehicle.suffix}"
            for end in ends
            if end.vehicle.bogie_centres_m is None
        )
    )


def predict_meetings(ends: tuple[TypeEnd, TypeEnd], radius_m: float) -> tuple[MeetingOnTrack, ...]:
    """On each kind of track of one radius [m]. Raises OutsideModelError for a radius from below 25 m or beyond 100 km."""
    shapes = [_shape(end) for end in ends]
    tracks: tuple[tuple[str, TrackCurve], ...] = (
        ("one curve", same_hand(radius_m)),
        (f"into a curve over {TRANSITION_M:g} m", end_of_curve(radius_m, TRANSITION_M)),
        ("into a curve at once", end_of_curve(radius_m)),
        (f"reverse curve, {STRAIGHT_M:g} m between", reverse(radius_m, STRAIGHT_M)),
        ("reverse curve", reverse(radius_m)),
    )
    known = all(end.vehicle.width_m is not None and _behind(end) is not None for end in ends)
    return tuple(_on(name, worst_meeting(track, shapes[0], shapes[1]), known) for name, track in tracks)


def _shape(end: TypeEnd) -> VehicleEndShape:
    centres = end.vehicle.bogie_centres_m or 0.0
    return VehicleEndShape(
        centres, overhang(end.vehicle.length_m, centres), (end.vehicle.width_m or 0.0) / 2.0, _behind(end) or 0.0
    )


def _behind(end: TypeEnd) -> float | None:
    return end.unit_type.ends[end.end].body_behind_face_m  # type: ignore[index]


def _on(name: str, met: Meeting, known: bool) -> MeetingOnTrack:
    gaps = (1e3 * met.tight_gap_m, 1e3 * met.wide_gap_m) if known else (None, None)
    return MeetingOnTrack(name, 1e3 * met.sideways_m, math.degrees(met.angle_rad), *gaps)
