"""What a test cannot see, in words: rows, marks, looks to add; the terminal and others show the same."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.brake_test.blind_spots import NEARLY_ALWAYS, BlindSpots, CauseSeen
from headstock.local_rules.limit_figures import PressureUnit
from headstock.usecases.blind_spots_of_job import JobBlindSpots
from headstock.usecases.cause_words import cause_in_words, degree_in_words

MARKS = {"seen": "seen", "seen from": "if bad", "by chance": "chance", "never": "-"}
LIMITS_DECIDE = (
    "The limits of the local rules decide; this says what they can and cannot show, under the ranges of the list named."
)

MEANINGS = "seen: nearly every test with it fails there. if bad: from some degree on. chance: now and then. -: as healthy trains."


def seen_rows(spots: BlindSpots) -> Iterator[tuple[str, CauseSeen]]:
    """One row a kind where all its places are alike, else one a place."""
    kinds = dict.fromkeys(one.cause.kind for one in spots.causes)
    for kind in kinds:
        own = [one for one in spots.causes if one.cause.kind == kind]
        alike = {(one.answer, one.from_severity, marks_of(one, spots)) for one in own}
        if len(alike) == 1 and len(own) > 1:
            yield f"{kind}, at any of {len(own)} places", own[0]
        else:
            yield from ((cause_in_words(one.cause), one) for one in own)


def marks_of(cause: CauseSeen, spots: BlindSpots) -> tuple[str, ...]:
    """How often each reading in turn is outside its limit with that fault, as a mark."""
    return tuple(MARKS[cause.at_reading(number, healthy)] for number, healthy in enumerate(spots.healthy.at_reading))


def seen_words(cause: CauseSeen, unit: PressureUnit) -> str:
    """In words; a fault that is seen when milder and again when worse is named by the degrees that slip through."""
    words = {"seen": "seen", "seen from": "seen if bad", "by chance": "by chance", "never": "never seen"}[cause.answer]
    slips = [number for number, degree in enumerate(cause.degrees) if degree.at_all < NEARLY_ALWAYS]
    if slips and len(slips) < len(cause.degrees) and slips[0] > 0:
        named = " and ".join(degree_in_words(cause.cause.kind, cause.degrees[number].severity, unit) for number in slips)
        return f"seen but at {named}"
    if cause.from_severity is not None and cause.answer == "seen from":
        return f"seen from {degree_in_words(cause.cause.kind, cause.from_severity, unit)}"
    return words


def look_lines(answer: JobBlindSpots) -> Iterator[str]:
    """The looks to add, and what none of them shows."""
    to_add = answer.to_add
    if to_add.looks:
        yield f"The cheapest looks that show the rest ({to_add.minutes:g} min, list: {answer.extra.name}):"
        yield from (f"  - {look.name}" for look in to_add.looks)
    if to_add.never_shown:
        kinds = dict.fromkeys(one.cause.kind for one in to_add.never_shown)
        yield f"No look of the list shows: {', '.join(kinds)}."
