"""Records: search, one entry, verify; put a test, a touch or a note on record."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Header, HTTPException, Query, Request, Response

from headstock.usecases.answers_as_data.entry import entry_as_json
from headstock.usecases.answers_as_data.receipt import receipt, void_words
from headstock.usecases.answers_as_data.verdict import verdict_as_json
from headstock.usecases.file_test import Filing, filing_of
from headstock.usecases.moments import day_s
from headstock.usecases.record_notes import NoteGiven, TouchGiven, entry_named, note_to_file, touch_to_file, voided_by
from headstock.usecases.record_state import state_of_test
from headstock.usecases.records_port import Draft, Filed, Records, Search
from headstock.usecases.sent_files import laid_out
from headstock.web.api import PREFIX
from headstock.web.api.asking import AskingOf
from headstock.web.api.record_bodies import NoteSent, TestSent, TouchSent
from headstock.web.api.shapes import as_answer, said
from headstock.web.api.tests import READINGS
from headstock.web.asked import LongWorkOf, RecordsOf
from headstock.web.statuses import ALREADY_OTHERWISE, NOT_ACCEPTED, NOT_THERE, answered_as
from headstock.web.visitor import needs, visitor_of
from headstock.wiring import read_recorder

router = APIRouter(prefix=f"{PREFIX}/records", tags=["records"])
Key = Annotated[str | None, Header(alias="Idempotency-Key", min_length=1, max_length=120, pattern=r"^[!-~]+$",
                                   description="key of the entry, made by you: the same key again adds nothing")]  # fmt: skip
ACT_OF_NOTE = {"job": "plan jobs", "defect": "note a defect", "isolation": "note an isolation", "sheet": "issue a sheet",
               "correction": "correct an entry"}  # fmt: skip


@router.get("/search", dependencies=[needs("see records")], responses=said("as `headstock records search --json`"))
def search(
    records: RecordsOf,
    words: Annotated[list[Annotated[str, Query(max_length=120)]], Query(max_length=20)] = [],  # noqa: B006
    kind: Annotated[str, Query(max_length=40)] = "",
    from_day: Annotated[str, Query(alias="from", max_length=10)] = "",
    to_day: Annotated[str, Query(alias="to", max_length=10)] = "",
    top: Annotated[int, Query(ge=1, le=1000)] = 50,
) -> Response:
    """Entries, newest first: of tests in which state they are and what was touched since."""
    for option, day in (("from", from_day), ("to", to_day)):
        if day:
            day_s(day, option)
    found = records.search(Search(tuple(words), kind, from_day, to_day, top))
    return as_answer([entry_as_json(filed, records, whole=False) for filed in found])


@router.get("/entries/{name}", dependencies=[needs("see records")], responses=said("as `headstock records show --json`"))
def show(name: str, records: RecordsOf) -> Response:
    """One entry whole, by its code, number or key."""
    with answered_as(NOT_THERE):
        filed = entry_named(name, records)
    return as_answer(entry_as_json(filed, records, whole=True))


@router.get("/verify", dependencies=[needs("verify records")], responses=said("as `headstock records verify --json`"))
def verify(records: RecordsOf, long_work: LongWorkOf) -> Response:
    """Was anything altered, removed or re-ordered: the first entry where it was."""
    return as_answer(long_work.answer(("verify",), lambda: verdict_as_json(records.verify(), records)))


@router.post("/touch", dependencies=[needs("log a touch")], responses=said("as `headstock records touch --json`"))
def touch(sent: TouchSent, records: RecordsOf, key: Key = None) -> Response:
    """Log that a device was touched, and say which tests that makes void."""
    filed = _filed(touch_to_file(TouchGiven(sent.device, sent.who, sent.when, sent.test, sent.part_of, key), records), records)
    return as_answer(receipt(filed) | {"voids": [now.filed.code for now in voided_by(filed, records)]})


@router.post("/note", dependencies=[needs("see records")], responses=said("as `headstock records note --json`"))
def note(request: Request, sent: NoteSent, records: RecordsOf, key: Key = None) -> Response:
    """Record a job, a defect, an isolation carried, a sheet issued, or a correction of an entry."""
    request.state.act = ACT_OF_NOTE[sent.kind]  # a trace says what was done, not that records were seen
    if not request.app.state.may(visitor_of(request), ACT_OF_NOTE[sent.kind]):
        raise HTTPException(403, f"your role may not {ACT_OF_NOTE[sent.kind]}")
    given = NoteGiven(sent.kind, sent.text, sent.who, sent.when, tuple(sent.units), sent.about, None, key)
    return as_answer(receipt(_filed(note_to_file(given, records), records)))


@router.post("/file", dependencies=[needs("file a test")], responses=said("as `headstock records file --json`"))
def file(sent: TestSent, ask: AskingOf, records: RecordsOf, key: Key = None) -> Response:
    """Put a brake test on record as it was judged; what cannot have been so is refused with every reason, status 422."""
    files = ask.files(sent, people=sent.people) | {READINGS: sent.readings}
    corrected = entry_named(sent.corrects, records).draft.key if sent.corrects is not None else None
    with laid_out(files) as folder:
        asked = Filing(sent.date, folder / "people.yaml" if sent.people is not None else None, key, corrected)
        filing = filing_of(folder / READINGS, ask.answers.fleet, read_recorder, asked)
    if filing.draft is None:
        return as_answer({"filed": False, "refused": list(filing.refused)}, NOT_ACCEPTED)
    filed = _filed(filing.draft, records)
    now = state_of_test(filed, records)
    stands: dict[str, Any] = {"verdict": filed.draft.body["verdict"], "state": now.state, "void_by": void_words(now)}
    return as_answer(receipt(filed) | stands)


def _filed(draft: Draft, records: Records) -> Filed:
    with answered_as(ALREADY_OTHERWISE):
        (filed,) = records.append([draft])
    return filed
