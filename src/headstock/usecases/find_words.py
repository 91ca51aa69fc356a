"""What a search for a cause says, in words: causes, what cannot be told apart, places to look at."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.brake_test.causes import Cause
from headstock.brake_test.find import Explanation
from headstock.brake_test.look_places import LookPlace
from headstock.local_rules.drawn_tests import SEVERITY_OF
from headstock.local_rules.limit_figures import PressureUnit
from headstock.usecases.cause_words import cause_in_words, degree_in_words

MOST = 6
TOP = 4
WHERE = {
    "end": "Cocks and hoses of",
    "vehicle": "Brake gear of",
    "cab": "Cab",
    "gauge": "Read the gauge again, beside another, in cab",
}
NONE_FITS = "No fault of the list explains these readings, nor do two at once: read again, from the beginning."
TWO_FIT = "No single fault of the list explains these readings. Two at once would:"
MENDED = "Found and mended: a new test, from the beginning, reservoirs charged."


def some_words(causes: Sequence[Cause]) -> str:
    """A few causes, and how many more there are."""
    more = f" and {len(causes) - MOST} more" if len(causes) > MOST else ""
    return ", ".join(cause_in_words(cause) for cause in causes[:MOST]) + more


def suspects_words(one: Explanation, unit: PressureUnit) -> str:
    """Causes that the readings cannot tell apart."""
    named = [suspect_words(suspect.cause, suspect.severities, unit) for suspect in one.suspects[:MOST]]
    more = f" and {len(one.suspects) - MOST} more" if len(one.suspects) > MOST else ""
    apart = " (cannot be told apart by these readings)" if len(one.suspects) > 1 else ""
    return f"{'; '.join(named)}{more}{apart}"


def suspect_words(cause: Cause, severities: Sequence[float], unit: PressureUnit) -> str:
    """A cause with the degrees that fit: from the mildest to the worst."""
    degrees = [degree_in_words(cause.kind, severity, unit) for severity in severities]
    if len(degrees) > 1:
        return f"{cause_in_words(cause)}, {degrees[0]} to {degrees[-1]}"
    return f"{cause_in_words(cause)}, about {degrees[0]}" if degrees else cause_in_words(cause)


def caused_words(cause: Cause, unit: PressureUnit) -> str:
    """A cause with its degree."""
    has_degree = cause.kind in SEVERITY_OF
    return (
        f"{cause_in_words(cause)}, about {degree_in_words(cause.kind, cause.severity, unit)}"
        if has_degree
        else cause_in_words(cause)
    )


def place_words(place: LookPlace) -> str:
    """A place with what one looks for there."""
    looked_for = sorted(cause_in_words(cause) for cause in place.shows)
    more = f"; and {len(looked_for) - MOST} more" if len(looked_for) > MOST else ""
    return f"{WHERE[place.where]} {place.name}: {'; '.join(looked_for[:MOST])}{more}?"
