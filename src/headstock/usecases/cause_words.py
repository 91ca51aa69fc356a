"""Causes of a failed test in the words of the trade, and where to look for each."""

from __future__ import annotations

from typing import Final

from headstock.brake_test.causes import Cause
from headstock.brake_test.stage_readings import ReadingPlace
from headstock.devices.key_words import device_in_words
from headstock.local_rules.drawn_tests import FaultKind
from headstock.local_rules.limit_figures import PressureUnit, in_unit, is_share, limit_said, reading_figure, unit_of

WORDS: Final[dict[FaultKind, str]] = {
    "nothing": "nothing wrong", "cock shut": "{device} shut", "cock part open": "{device} part open",
    "pipe blocked": "brake pipe blocked between {place}", "pipe leaks": "brake pipe leaks at {place}",
    "brake isolated": "brake of {place} isolated", "cylinder leaks": "brake cylinder of {place} leaks",
    "reservoir not fed": "reservoir of {place} not fed", "other valve feeds": "{device} feeds",
    "lapped valve feeds": "{device} feeds though lapped", "compressor dead": "compressor of {place} dead",
    "main reservoir cock shut": "{device} shut", "parking brake on": "{device} on", "hand brake on": "{device} on",
    "wrong gauge read": "wrong gauge read at the {place}", "gauge stuck": "gauge stuck at the {place}",
    "gauge off": "gauge at the {place} off by more than its class",
}  # fmt: skip
DEGREES: Final[dict[FaultKind, str]] = {
    "cock part open": "{:.0%} of the bore", "pipe blocked": "{:.0%} of the bore left", "pipe leaks": "{:.3g} {} a minute",
    "cylinder leaks": "{:g} mm²", "lapped valve feeds": "{:g} mm²", "gauge off": "{:+.3g} {}",
}  # fmt: skip


def cause_in_words(cause: Cause) -> str:
    """The cause without its degree."""
    where, named = cause.place.partition(".")[0], device_in_words(cause.place)
    place = where if cause.kind == "compressor dead" else cause.place
    return WORDS[cause.kind].format(device=named, place=place)


def degree_in_words(kind: FaultKind, severity: float, unit: PressureUnit) -> str:
    """How bad; pressures in the unit that people read."""
    shown = in_unit(severity, unit) if "{}" in DEGREES[kind] else severity
    return DEGREES[kind].format(shown, unit)


def place_in_words(place: ReadingPlace, unit: PressureUnit) -> str:
    """A reading of the test with its limit."""
    return f"{place.name}: {' '.join(limit_said(place.limit_bar, place.limit, unit))}"


def read_in_words(place: ReadingPlace, shows: float, unit: PressureUnit) -> str:
    """What was read [bar; a count: share], beside its limit."""
    name, _, limit = place_in_words(place, unit).partition(": ")
    if is_share(place.limit):
        return f"{name}: {shows:.2g} ({limit})"
    return f"{name}: {reading_figure(shows, place.limit_bar, place.limit, unit)} {unit_of(place.limit, unit)} ({limit})"
