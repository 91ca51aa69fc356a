"""Look here next: after readings that are not within limits, what they can mean and which way to walk, re-ranked by answers."""

from __future__ import annotations

import secrets
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import InputError
from headstock.brake_test.causes import Cause
from headstock.brake_test.find import FindResult
from headstock.brake_test.look_walk import LookWalk
from headstock.usecases.cause_words import cause_in_words
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING, CauseSearch
from headstock.usecases.find_words import MENDED, NONE_FITS, TOP, TWO_FIT, caused_words, place_words, some_words, suspects_words
from headstock.usecases.job_book import job_named
from headstock.usecases.test_events import add_events, event_given
from headstock.usecases.unseen_words import NOTHING_SEEN, next_when_unseen
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.replies import is_part, page
from headstock.web.test_answers import Outcome, TestNowInHand, clock, how_far, search_of, test_now
from headstock.web.test_drawings import train_svg
from headstock.web.test_letters import letters_of
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{code}/test/look", dependencies=[needs("see jobs")])
def look_next(request: Request, code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """What is looked at next; says so while that is still being worked out."""
    now = test_now(job_named(code, records), answers)
    if now.hand is None or now.judged.judgement is None:
        return RedirectResponse(f"/jobs/{now.job.code}/test", 303)
    found = search_of(now, answers)
    said: dict[str, Any] = {"job": now.job, "hand": now.hand, "hold_first": HOLD_FIRST, "no_bleeding": NO_BLEEDING,
                            "is_part": is_part(request), "error": None, "result": None,
                            "far": how_far(now.job, answers)}  # fmt: skip
    if found is not None:
        said |= _found(now, found)
    return page(request, "look_part.html" if is_part(request) else "look.html", **said)


def _found(now: TestNowInHand, found: Outcome[CauseSearch]) -> dict[str, Any]:
    if found.value is None:
        return {"error": found.error}
    search = found.value
    try:
        result = _answered(now, search)
    except InputError as error:
        return {"error": error}
    unit = search.test.tested.rules.pressure_unit
    drawn, walk = search.test.drawn, result.walk
    assert now.hand is not None
    return {
        "result": result, "error": None, "walk": walk, "people": now.given.people,
        "mended": MENDED if any(event.is_there for event in now.hand.looks) else "",
        "places": [{"words": place_words(place), "name": place.name,
                    "causes": sorted(cause_in_words(cause) for cause in place.shows)} for place in walk.places],
        "likely": [suspects_words(one, unit) for one in result.explanations[:TOP]] if not result.pairs else [],
        "pairs": [" and ".join(caused_words(cause, unit) for cause in pair.causes) for pair in result.pairs[:TOP]],
        "none_fits": "" if result.is_explained else TWO_FIT if result.pairs else NONE_FITS,
        "not_shown": some_words(walk.not_shown) if walk.not_shown else "",
        "unseen": next_when_unseen(search, walk), "nothing_seen": NOTHING_SEEN,
        "left_out": some_words(walk.left_out) if walk.left_out else "",
        "minutes": max(1, round(walk.expected_min)),
        "drawn": f"{drawn.name}, edition {drawn.edition}{' (invented)' if drawn.invented else ''}; nobody has counted.",
        "train": train_svg(now.given, "", "", letters_of(now.given), _marks(walk)),
        "fresh_key": f"look-{secrets.token_hex(8)}",
    }  # fmt: skip


def _marks(walk: LookWalk) -> list[tuple[float, str]]:
    """Numbers of the places along the train, those of one place together."""
    found: dict[int, list[str]] = {}
    for number, place in enumerate(walk.places, start=1):
        found.setdefault(round(place.at_m), []).append(str(number))
    return [(float(at_m), ", ".join(numbers)) for at_m, numbers in found.items()]


def _answered(now: TestNowInHand, search: CauseSearch) -> FindResult:
    """The answer after everything that was looked at, from where the last look was."""
    assert now.hand is not None
    there: list[Cause] = [search.named(event.cause) for event in now.hand.looks if event.is_there]
    gone = [search.named(event.cause) for event in now.hand.looks if not event.is_there]
    at_m = None
    if now.hand.looks:
        places = search.test.signatures.task.air.air.brake_m
        last = max(now.hand.looks, key=lambda event: event.order).place
        at_m = places.get(last, places.get(last.partition("/")[0]))
    return search.answer(there, gone, at_m)


@router.post("/jobs/{code}/test/look", dependencies=[needs("test the brake")])
def looked(code: str, records: RecordsOf, answers: AnswersOf, key: Annotated[str, Form()], test: Annotated[str, Form()],
           who: Annotated[str, Form()], place: Annotated[str, Form()], cause: Annotated[list[str], Form()],
           found: Annotated[str, Form()] = "") -> Response:  # fmt: skip
    """What was found at a place: one of what was looked for, or nothing of it."""
    job = job_named(code, records)
    if records.named(f"{key}-0") is None:
        at = clock()
        events = [event_given({"key": f"{key}-{number}", "test": test, "what": "look", "at": at, "who": who, "place": place,
                               "phone": "form", "number": number, "cause": one, "is_there": one == found})
                  for number, one in enumerate(cause) if not found or one == found]  # fmt: skip
        add_events(events, job, records)
    return RedirectResponse(f"/jobs/{job.code}/test/look", 303)
