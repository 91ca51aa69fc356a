"""What is asked of `can` beyond the job itself: a speed, a distance to keep, a gradient profile, lengths to fit."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.errors import Fault, InputError
from headstock.physics.curve_throw import MAX_RADIUS_M, MIN_RADIUS_M
from headstock.physics.motion import Track
from headstock.usecases.can_load import IN_WORKING_ORDER, AskedLoad, load_from_words

PROFILE_FORM = "METRES:PER MILLE,... from 0 up, falling ahead below nothing, as in 0:-4,350:-12.5"
MOST_PER_MILLE = 150.0


@dataclass(frozen=True, slots=True)
class CanQuestion:
    """Speeds [km/h], distances [m], and the track ahead; what is None is taken from job and data, or not asked."""

    at_kmh: float | None = None
    keep_m: float | None = None
    profile: Track | None = None
    platform_m: float | None = None
    signal_m: float | None = None
    radius_m: float | None = None
    leak_mm2: float | None = None
    load: AskedLoad = IN_WORKING_ORDER


def can_question(
    at_kmh: float | None,
    keep_m: float | None,
    profile: str | None,
    platform_m: float | None,
    signal_m: float | None,
    radius_m: float | None = None,
    leak_mm2: float | None = None,
    load: str = "working order",
) -> CanQuestion:
    """As somebody gives it. Raises InputError with every fault."""
    given = (("--speed", at_kmh, 400.0), ("--keep", keep_m, 20_000.0), ("--platform", platform_m, 5000.0),
             ("--signal", signal_m, 20_000.0), ("--leak-off", leak_mm2, 100.0))  # fmt: skip
    faults = [
        Fault("outside what is answered for", path=option, found=f"{value:g}", expected=f"above 0, to {most:g}")
        for option, value, most in given
        if value is not None and not 0.0 < value <= most
    ]
    if radius_m is not None and not MIN_RADIUS_M <= radius_m <= MAX_RADIUS_M:
        expected = f"{MIN_RADIUS_M:g} to {MAX_RADIUS_M:g} m"
        faults.append(Fault("no radius of a curve", path="--curve-radius", found=f"{radius_m:g}", expected=expected))
    try:
        asked_load = load_from_words(load)
    except InputError as error:
        faults += error.faults
    if faults:
        raise InputError(faults)
    return CanQuestion(at_kmh, keep_m, track_from_words(profile), platform_m, signal_m, radius_m, leak_mm2, asked_load)


def track_from_words(text: str | None) -> Track | None:
    """A gradient profile as somebody writes it. Raises InputError."""
    if text is None:
        return None
    sections = []
    for part in text.split(","):
        at, colon, per_mille = part.partition(":")
        try:
            section = (float(at), float(per_mille))
        except ValueError:
            colon = ""
            section = (0.0, 0.0)
        if not colon or not abs(section[1]) <= MOST_PER_MILLE or not 0.0 <= section[0] < 1e6:
            raise InputError(Fault("not a gradient profile", path="--profile", found=part.strip(), expected=PROFILE_FORM))
        sections.append((section[0], section[1] / 1000.0))
    starts = [at for at, _ in sections]
    if starts[0] != 0.0 or starts != sorted(set(starts)):
        raise InputError(Fault("not a gradient profile", path="--profile", found=text, expected=PROFILE_FORM))
    return Track(tuple(sections))
