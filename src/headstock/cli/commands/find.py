"""``find``: what explains the readings of a failed test, and where to look next; with ``--ask`` answer by answer."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.brake_test.causes import Cause
from headstock.brake_test.find import Explanation, FindResult
from headstock.brake_test.look_places import LookPlace
from headstock.brake_test.look_walk import LookWalk
from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.local_rules.drawn_tests import SEVERITY_OF
from headstock.local_rules.limit_figures import PressureUnit
from headstock.local_rules.method_stage import End
from headstock.usecases.answers_as_data.find import found_as_json
from headstock.usecases.cause_words import cause_in_words, degree_in_words, read_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch, search_cause
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, fleet_from, many_runs, read_recorder, signature_blocks

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


def run_find(
    readings: Path, start: End, there: Sequence[str], not_there: Sequence[str], ask: bool, drawn: Path | None, as_json: bool,
    fleet: Path | None,
) -> int:  # fmt: skip
    """Search and print; 0 where something explains the readings, 3 where nothing does."""
    if ask and as_json:
        fault = Fault("one of the two, not both", path="--ask, --json", found="both")
        raise InputError(fault, cure="With --json say what was found by --there and --not-there.")
    search = search_cause(readings, fleet_from(fleet), air_engine(), signature_blocks(), read_recorder, start=start, drawn=drawn,
                          runs=many_runs)  # fmt: skip
    found, gone = [search.named(words) for words in there], [search.named(words) for words in not_there]
    if ask:
        return _status(_asking(search, found, gone))
    result = search.answer(found, gone)
    if as_json:
        print_json(found_as_json(search, result))
    else:
        _print_head(search)
        _print(search, result)
    return _status(result)


def _status(result: FindResult) -> int:
    return YES if result.is_explained or result.pairs else NOT_YET


def _print_head(search: CauseSearch) -> None:
    record, drawn = search.judged.record, search.test.drawn
    print(f"{search.judged.title} · method: {record.method.name}, edition {record.method.edition}")
    print(f"Caution: {STANDING_CAUTION}")
    print(f"Caution: {HOLD_FIRST}")
    print(f"Caution: {NO_BLEEDING}")
    print(f"Readings: {search.judged.judgement.verdict}.")
    unit = search.test.tested.rules.pressure_unit
    for place in search.test.errors.places:
        if place.stage in search.observed:
            print(f"  {read_in_words(place, search.observed[place.stage], unit)}")
    print(f"Odds from: {drawn.name}, edition {drawn.edition}{' (invented)' if drawn.invented else ''}; nobody has counted.")


def _print(search: CauseSearch, result: FindResult) -> None:
    unit = search.test.tested.rules.pressure_unit
    if not result.is_explained:
        print(TWO_FIT if result.pairs else NONE_FITS)
        for pair in result.pairs[:TOP]:
            print(f"  - {' and '.join(_caused(cause, unit) for cause in pair.causes)}")
    if not result.pairs:
        for number, one in enumerate(result.explanations[:TOP]):
            print(f"{'Likeliest' if number == 0 else 'Or'}: {_suspects(one, unit)}")
    _print_walk(result.walk)
    print("Found and mended: a new test, from the beginning, reservoirs charged.")


def _print_walk(walk: LookWalk) -> None:
    if walk.places:
        print(
            f"Look here next, in this order (about {max(1, round(walk.expected_min))} min until it is found or all is looked at):"
        )
        for number, place in enumerate(walk.places, start=1):
            print(f"  {number}. {_place(place)}")
    if walk.not_shown:
        print(f"No look from the side shows: {_some(walk.not_shown)}.")
    if walk.left_out:
        print(f"Not reckoned with in this order, being least likely: {_some(walk.left_out)}.")


def _some(causes: Sequence[Cause]) -> str:
    more = f" and {len(causes) - MOST} more" if len(causes) > MOST else ""
    return ", ".join(cause_in_words(cause) for cause in causes[:MOST]) + more


def _suspects(one: Explanation, unit: PressureUnit) -> str:
    named = [_suspect(suspect.cause, suspect.severities, unit) for suspect in one.suspects[:MOST]]
    more = f" and {len(one.suspects) - MOST} more" if len(one.suspects) > MOST else ""
    apart = " (cannot be told apart by these readings)" if len(one.suspects) > 1 else ""
    return f"{'; '.join(named)}{more}{apart}"


def _suspect(cause: Cause, severities: Sequence[float], unit: PressureUnit) -> str:
    """A cause with the degrees that fit: from the mildest to the worst."""
    degrees = [degree_in_words(cause.kind, severity, unit) for severity in severities]
    if len(degrees) > 1:
        return f"{cause_in_words(cause)}, {degrees[0]} to {degrees[-1]}"
    return f"{cause_in_words(cause)}, about {degrees[0]}" if degrees else cause_in_words(cause)


def _caused(cause: Cause, unit: PressureUnit) -> str:
    has_degree = cause.kind in SEVERITY_OF
    return (
        f"{cause_in_words(cause)}, about {degree_in_words(cause.kind, cause.severity, unit)}"
        if has_degree
        else cause_in_words(cause)
    )


def _place(place: LookPlace) -> str:
    looked_for = sorted(cause_in_words(cause) for cause in place.shows)
    more = f"; and {len(looked_for) - MOST} more" if len(looked_for) > MOST else ""
    return f"{WHERE[place.where]} {place.name}: {'; '.join(looked_for[:MOST])}{more}?"


def _asking(search: CauseSearch, there: list[Cause], not_there: list[Cause]) -> FindResult:
    """Answer by answer, until it is found, nothing is left to look at, or the one who looks stops."""
    _print_head(search)
    from_m: float | None = None
    while True:
        result = search.answer(there, not_there, from_m)
        _print(search, result)
        if not result.walk.places or (there and result.is_explained):
            return result
        place = result.walk.places[0]
        choices = sorted(place.shows - set(there), key=cause_in_words)
        said = _said(place, choices)
        if said is None:
            return result
        from_m = place.at_m
        if said == 0:
            not_there += choices
        else:
            there.append(choices[said - 1])


def _said(place: LookPlace, choices: Sequence[Cause]) -> int | None:
    """What the one who looks says is there: the number of a choice, 0 for none of them, None to stop."""
    numbered = ", ".join(f"{number} {cause_in_words(cause)}" for number, cause in enumerate(choices, start=1))
    print(f"\nAt {place.name}, what is there?  0 nothing of these, {numbered}, empty to stop")
    while True:
        try:
            said = input("> ").strip()
        except EOFError:
            return None
        if not said:
            return None
        if said.isdecimal() and said.isascii() and int(said) <= len(choices):
            return int(said)
        print(f"One of 0 to {len(choices)}, please.")
