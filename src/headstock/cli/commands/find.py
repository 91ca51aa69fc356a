"""``find``: what explains the readings of a failed test, and where to look next; with ``--ask`` answer by answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from headstock.brake_test.causes import Cause
from headstock.brake_test.find import Explanation, FindResult
from headstock.brake_test.look_places import LookPlace
from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.local_rules.method_stage import End
from headstock.usecases.cause_words import cause_in_words, degree_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch, search_cause
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, fleet_from, read_recorder, signature_blocks

MOST = 6
TOP = 4
WHERE = {"end": "Cocks and hoses of", "vehicle": "Brake gear of", "cab": "Cab"}
NONE_FITS = "No single fault of the list explains these readings: read again, and think of two faults at once."


def run_find(
    readings: Path, start: End, there: Sequence[str], not_there: Sequence[str], ask: bool, drawn: Path | None, as_json: bool,
    fleet: Path | None,
) -> int:  # fmt: skip
    """Search and print; 0 where something explains the readings, 3 where nothing does."""
    search = search_cause(readings, fleet_from(fleet), air_engine(), signature_blocks(), read_recorder, start=start, drawn=drawn)
    found, gone = [search.named(words) for words in there], [search.named(words) for words in not_there]
    result = search.answer(found, gone)
    if as_json:
        print_json(found_as_json(search, result))
    elif ask:
        result = _asking(search, found, gone)
    else:
        _print_head(search)
        _print(result)
    return YES if result.is_explained else NOT_YET


def found_as_json(search: CauseSearch, result: FindResult) -> dict[str, Any]:
    """The answer as plain values."""
    drawn = search.test.drawn
    return {
        "verdict": search.judged.judgement.verdict, "hold_first": HOLD_FIRST, "no_bleeding": NO_BLEEDING,
        "is_explained": result.is_explained, "observed": dict(search.observed),
        "explanations": [
            {"odds": one.odds, "fit": one.fit,
             "cannot_be_told_apart": [{**asdict(suspect), "words": cause_in_words(suspect.cause)} for suspect in one.suspects]}
            for one in result.explanations
        ],
        "look_here_next": [
            {"place": place.name, "where": place.where, "at_m": place.at_m,
             "shows": sorted(cause_in_words(cause) for cause in place.shows)} for place in result.walk
        ],
        "expected_min": result.walk_min,
        "not_shown_by_looking": [cause_in_words(cause) for cause in result.not_shown_by_looking],
        "drawn": {"name": drawn.name, "edition": drawn.edition, "invented": drawn.invented, "note": drawn.note},
    }  # fmt: skip


def _print_head(search: CauseSearch) -> None:
    record, drawn = search.judged.record, search.test.drawn
    print(f"{search.judged.title} · method: {record.method.name}, edition {record.method.edition}")
    print(f"Caution: {STANDING_CAUTION}")
    print(f"Caution: {HOLD_FIRST}")
    print(f"Caution: {NO_BLEEDING}")
    print(f"Readings: {search.judged.judgement.verdict}.")
    print(f"Odds from: {drawn.name}, edition {drawn.edition}{' (invented)' if drawn.invented else ''}; nobody has counted.")


def _print(result: FindResult) -> None:
    if not result.is_explained:
        print(NONE_FITS)
    for number, one in enumerate(result.explanations[:TOP]):
        head = "Likeliest" if number == 0 else "Or"
        print(f"{head}: {_suspects(one)}")
    if result.walk:
        print(f"Look here next, in this order (about {max(1, round(result.walk_min))} min until it is found):")
        for number, place in enumerate(result.walk, start=1):
            print(f"  {number}. {_place(place)}")
    if result.not_shown_by_looking:
        print(f"No look from the side shows: {', '.join(cause_in_words(cause) for cause in result.not_shown_by_looking[:MOST])}.")
    print("Found and mended: a new test, from the beginning, reservoirs charged.")


def _suspects(one: Explanation) -> str:
    named = [_suspect(suspect.cause, suspect.severities) for suspect in one.suspects[:MOST]]
    more = f" and {len(one.suspects) - MOST} more" if len(one.suspects) > MOST else ""
    apart = " (cannot be told apart by these readings)" if len(one.suspects) > 1 else ""
    return f"{'; '.join(named)}{more}{apart}"


def _suspect(cause: Cause, severities: Sequence[float]) -> str:
    worst = f", as far as {degree_in_words(cause.kind, severities[-1])}" if severities else ""
    return f"{cause_in_words(cause)}{worst}"


def _place(place: LookPlace) -> str:
    looked_for = sorted(cause_in_words(cause) for cause in place.shows)
    return f"{WHERE[place.where]} {place.name}: {'; '.join(looked_for[:MOST])}?"


def _asking(search: CauseSearch, there: list[Cause], not_there: list[Cause]) -> FindResult:
    """Answer by answer, until it is found, nothing is left to look at, or the one who looks stops."""
    _print_head(search)
    while True:
        result = search.answer(there, not_there)
        _print(result)
        if not result.walk or there:
            return result
        place = result.walk[0]
        choices = sorted(place.shows, key=cause_in_words)
        numbered = ", ".join(f"{number} {cause_in_words(cause)}" for number, cause in enumerate(choices, start=1))
        print(f"\nAt {place.name}, what is there?  0 nothing of these, {numbered}, empty to stop")
        try:
            said = input("> ").strip()
        except EOFError:
            return result
        if not said:
            return result
        if not said.isdigit() or int(said) > len(choices):
            print(f"One of 0 to {len(choices)}, please.")
        elif said == "0":
            not_there += choices
        else:
            there.append(choices[int(said) - 1])
