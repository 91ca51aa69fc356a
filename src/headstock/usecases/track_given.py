"""The track on which ends are to meet, as somebody gives it: a place, or a curve by its radius; else straight."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.errors import Fault, InputError
from headstock.formation.curve_at_joint import CurveAtJoint, curve_from
from headstock.formation.place import Place
from headstock.usecases.job_file import load_place_named


@dataclass(frozen=True, slots=True)
class TrackGiven:
    """A curve or None for straight track, and the place if one was named."""

    curve: CurveAtJoint | None = None
    place: Place | None = None

    @property
    def words(self) -> str:
        """The track in words, with the place."""
        track = self.curve.words if self.curve is not None else "straight track"
        return f"{self.place.name}, {track}" if self.place is not None else track


def track_from(place: str | None, radius_m: float | None, bend: str | None) -> TrackGiven:
    """What was asked for. Raises InputError for a place and a curve together, or for no such place or curve."""
    curve = curve_from(radius_m, bend)
    if place is None:
        return TrackGiven(curve)
    if curve is not None:
        fault = Fault("a place and a curve together", found=f"{place} and {radius_m:g} m", expected="one of them")
        raise InputError(fault, cure="A place says its own curve.")
    found = load_place_named(place)
    return TrackGiven(found.curve_at_joint, found)
