"""``find``: what explains the readings of a failed test, and where to look next; with ``--ask`` answer by answer."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.brake_test.causes import Cause
from headstock.brake_test.find import FindResult
from headstock.brake_test.gauge_error import gauges_taken
from headstock.brake_test.look_places import LookPlace
from headstock.brake_test.look_walk import LookWalk
from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.local_rules.method_stage import End
from headstock.usecases.answers_as_data.find import found_as_json
from headstock.usecases.cause_words import cause_in_words, read_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch, search_cause
from headstock.usecases.find_words import MENDED, NONE_FITS, TOP, TWO_FIT, caused_words, place_words, some_words, suspects_words
from headstock.usecases.forecast_words import gauge_taken_words
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.unseen_words import NOTHING_SEEN, next_when_unseen
from headstock.wiring import air_engine, fleet_from, many_runs, read_recorder, signature_blocks


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
    for taken in gauges_taken(search.test.tested):
        print(f"Note: {gauge_taken_words(taken)}")


def _print(search: CauseSearch, result: FindResult) -> None:
    unit = search.test.tested.rules.pressure_unit
    if not result.is_explained:
        print(TWO_FIT if result.pairs else NONE_FITS)
        for pair in result.pairs[:TOP]:
            print(f"  - {' and '.join(caused_words(cause, unit) for cause in pair.causes)}")
    if not result.pairs:
        for number, one in enumerate(result.explanations[:TOP]):
            print(f"{'Likeliest' if number == 0 else 'Or'}: {suspects_words(one, unit)}")
    _print_walk(result.walk)
    steps = next_when_unseen(search, result.walk)
    if steps:
        print(f"{NOTHING_SEEN}:")
        for number, step in enumerate(steps, start=1):
            print(f"  {number}. {step}")
    print(MENDED)


def _print_walk(walk: LookWalk) -> None:
    if walk.places:
        print(
            f"Look here next, in this order (about {max(1, round(walk.expected_min))} min until it is found or all is looked at):"
        )
        for number, place in enumerate(walk.places, start=1):
            print(f"  {number}. {place_words(place)}")
    if walk.not_shown:
        print(f"No look from the side shows: {some_words(walk.not_shown)}.")
    if walk.left_out:
        print(f"Not reckoned with in this order, being least likely: {some_words(walk.left_out)}.")


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
