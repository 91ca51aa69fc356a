"""The brake test: the stage in hand, what was read, the verdict at once, filing; works without scripts."""

from __future__ import annotations

import re
import secrets
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import RedirectResponse
from pydantic import BaseModel, Field

from headstock.base.errors import HeadstockError, InputError
from headstock.brake_test.judge import ASK_AGAIN
from headstock.usecases.file_in_hand import filed_of, filing_in_hand, is_as_filed, touched_note
from headstock.usecases.find_cause import HOLD_FIRST, NO_BLEEDING
from headstock.usecases.job_book import BookedJob, job_named
from headstock.usecases.judge_in_hand import conflict_words, figure_words
from headstock.usecases.record_state import TestNow, state_of_test
from headstock.usecases.test_events import add_events, event_given, event_words
from headstock.usecases.test_in_hand import TestEvent, TestInHand
from headstock.usecases.test_stages import not_before
from headstock.web.answers import Answers
from headstock.web.asked import AnswersOf, FormOf, RecordsOf
from headstock.web.replies import json_reply, page
from headstock.web.sent_signs import CURE, sign_faults
from headstock.web.test_answers import TestNowInHand, begin_signatures, clock, file_of, shown_of, test_now, version_of
from headstock.web.test_drawings import joint_svg, role_svg, staff_svg, train_svg
from headstock.web.test_letters import letters_of
from headstock.web.visitor import needs
from headstock.wiring import read_recorder

router = APIRouter(include_in_schema=False)


def _filled(form: FormOf) -> dict[str, str]:
    return {name: value for name, value in form.items() if value != ""}


FilledOf = Annotated[dict[str, str], Depends(_filled)]


def _fresh_key() -> str:
    """A key for a form: sent twice it counts once."""
    return f"form-{secrets.token_hex(8)}"


class Waited(BaseModel):
    """Events that waited on a phone."""

    events: list[dict[str, Any]] = Field(max_length=500)


@router.get("/jobs/{code}/test", dependencies=[needs("see jobs")])
def brake_test(request: Request, code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """The page of the test in hand."""
    return _test_page(request, test_now(job_named(code, records), answers), answers)


def _test_page(request: Request, now: TestNowInHand, answers: Answers, status: int = 200, refused: tuple[str, ...] = (),
               error: HeadstockError | None = None, kept: dict[str, str] | None = None) -> Response:  # fmt: skip
    """The page, with why something was refused and what was entered where that is so."""
    hand = now.hand
    between = hand.between if hand is not None else ()
    filed = _filed(hand, answers)
    stages = shown_of(now, answers)
    said: dict[str, Any] = {
        "now": now, "job": now.job, "given": now.given, "hand": hand, "stages": stages, "refused": refused,
        "not_before": not_before(stages, hand) if hand is not None else (),
        "error": error, "kept": kept or {}, "clock": clock(), "fresh_key": _fresh_key, "filed": filed,
        "is_as_filed": filed is None or is_as_filed(filed.filed, file_of(now, answers)), "people": now.given.people,
        "hold_first": HOLD_FIRST, "no_bleeding": NO_BLEEDING, "ask_again": ASK_AGAIN,
        "staff_svg": staff_svg, "role_svg": role_svg, "train": _train(now), "figure_words": figure_words,
        "conflict_words": conflict_words, "event_words": event_words,
        "next_test": now.following,
        "joint": joint_svg([(event.protection, event.who) for event in between]) if between else "",
        "devices": sorted(now.given.train.path.devices) if now.given.train.path else [],
    }  # fmt: skip
    return page(request, "test.html", status, **said)


def _filed(hand: TestInHand | None, answers: Answers) -> TestNow | None:
    filed = filed_of(hand, answers.records) if hand is not None else None
    return state_of_test(filed, answers.records) if filed is not None else None


def _train(now: TestNowInHand) -> Any:
    """The train with what each end's gauge showed last."""
    shows = {"front": "", "rear": ""}
    places = {stage.key: stage.at for stage in now.given.papers.method.stages}
    for stage in now.hand.stages if now.hand is not None else ():
        if stage.reading is not None and stage.reading.shows is not None:
            shows[places[stage.key]] = stage.reading.shows
    cut = now.hand.between[0].place if now.hand is not None and now.hand.between else ""
    return train_svg(now.given, shows["front"], shows["rear"], letters_of(now.given), cut=cut)


@router.post("/jobs/{code}/test", dependencies=[needs("test the brake")])
def sent(request: Request, code: str, records: RecordsOf, answers: AnswersOf, form: FilledOf) -> Response:
    """One event from a form; the same form sent twice counts once."""
    job = job_named(code, records)
    back = RedirectResponse(f"/jobs/{job.code}/test", 303)
    if records.named(form.get("key", "")) is not None:
        return back
    try:
        _keep([event_given({"at": clock(), "phone": "form", **_values(form)})], job, answers)
    except InputError as error:
        return _test_page(request, test_now(job, answers), answers, 400, error=error, kept=form)
    return back


def _values(form: dict[str, str]) -> dict[str, Any]:
    """A form's fields as an event has them."""
    found: dict[str, Any] = dict(form)
    for name in ("seen", "touched", "is_there"):
        if name in found:
            found[name] = found[name] == "yes"
    if "replaces" in found:
        found["replaces"] = found["replaces"].split()
    return found


def _keep(events: list[TestEvent], job: BookedJob, answers: Answers) -> None:
    """Put events on record; of a filed test, an answer that something was touched is an entry about it too."""
    add_events(events, job, answers.records)
    if any(event.what == "begun" for event in events):
        begin_signatures(job, answers)
    for event in events:
        if event.what == "asked" and event.touched:
            hand = version_of(job, answers)[1]
            filed = filed_of(hand, answers.records) if hand is not None and hand.test == event.test else None
            if filed is not None and filed.draft.at <= event.at:
                answers.records.append([touched_note(event, filed, answers.records)])


@router.post("/jobs/{code}/test/events", dependencies=[needs("test the brake", each_by_itself=True)])
def sent_later(code: str, records: RecordsOf, answers: AnswersOf, waited: Waited) -> Response:
    """Events that waited on a phone, in their order; says of each whether it is kept or why it never will be."""
    job = job_named(code, records)
    kept, refused = [], {}
    for said in waited.events:
        key = str(said.get("key", ""))
        try:
            if faults := sign_faults(said):
                raise InputError(faults, cure=CURE)
            _keep([event_given(said)], job, answers)
            kept.append(key)
        except InputError as error:
            refused[key] = error.text()
    return json_reply({"kept": kept, "refused": refused, **_state(job, answers)})


def _state(job: BookedJob, answers: Answers) -> dict[str, Any]:
    version, hand = version_of(job, answers)
    return {"version": version, "between": len(hand.between) if hand is not None else 0, "clock": clock()}


@router.get("/jobs/{code}/test/state", dependencies=[needs("see jobs")])
def state(code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """The little that phones ask every two seconds."""
    return json_reply(_state(job_named(code, records), answers))


@router.post("/jobs/{code}/test/file", dependencies=[needs("file a test")])
def file(request: Request, code: str, records: RecordsOf, answers: AnswersOf, form: FilledOf) -> Response:
    """Put the test on record, or say every reason why not."""
    now = test_now(job_named(code, records), answers)
    if now.hand is None:
        return RedirectResponse(f"/jobs/{now.job.code}/test", 303)
    before = filed_of(now.hand, records)
    path = file_of(now, answers)
    if before is None or not is_as_filed(before, path):
        filing = filing_in_hand(now.hand, path, answers.fleet, read_recorder, before)
        if filing.draft is None:
            return _test_page(request, now, answers, 409, refused=tuple(map(without_line, filing.refused)))
        records.append([filing.draft])
    ended = {"key": f"ended:{now.hand.test}", "test": now.hand.test, "what": "ended", "at": clock(), "who": form.get("who", "")}
    if now.hand.ended is None:
        add_events([event_given(ended)], now.job, records)
    return RedirectResponse(f"/jobs/{now.job.code}/test", 303)


def without_line(reason: str) -> str:
    """A reason without the line of the file that nobody at a page has seen."""
    return re.sub(r"^line \d+: ", "", reason)


@router.get("/jobs/{code}/away", dependencies=[needs("see jobs")])
def away(request: Request, code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """The page that every phone of the job shows while somebody is between."""
    now = test_now(job_named(code, records), answers)
    if now.hand is None or not now.hand.between:
        return RedirectResponse(f"/jobs/{now.job.code}/test", 303)
    between = now.hand.between
    return page(request, "away.html", job=now.job, hand=now.hand, version=now.version,
                fresh_key=_fresh_key,
                joint=joint_svg([(event.protection, event.who) for event in between]))  # fmt: skip
