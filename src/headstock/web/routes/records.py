"""Records: search, one entry with all that was touched since, the auditor's list, certificate, verify, export."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory, mkdtemp
from typing import Annotated, Literal, cast

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import FileResponse, RedirectResponse
from starlette.background import BackgroundTask

from headstock.base.errors import InputError
from headstock.devices.key_words import device_in_words
from headstock.records.lines import back_up
from headstock.records.store import StoredRecords
from headstock.usecases.answers_as_data.receipt import void_words
from headstock.usecases.certificate import NO_PERMISSION, STATES, no_certificate
from headstock.usecases.moments import day_s
from headstock.usecases.record_notes import entry_named
from headstock.usecases.record_state import TestNow, state_of_test
from headstock.usecases.records_port import KINDS, Filed, Records, Search
from headstock.web.asked import RecordsOf
from headstock.web.replies import is_part, page
from headstock.web.statuses import NOT_THERE, answered_as
from headstock.web.verifying import Verifying
from headstock.web.visitor import needs
from headstock.wiring import export_records, print_certificate

router = APIRouter(prefix="/records", include_in_schema=False)
SEES = needs("see records")
SHOWN = 50
Words = Annotated[str, Query(max_length=200)]
Day = Annotated[str, Query(max_length=10)]


@dataclass(frozen=True, slots=True)
class EntryShown:
    """An entry as a line of a list; ``now``: of a test what stands of it."""

    filed: Filed
    now: TestNow | None

    @property
    def kind(self) -> str:
        """What it is."""
        return self.filed.draft.kind

    @property
    def says(self) -> str:
        """Its own words."""
        body = self.filed.draft.body
        says, device = str(body.get("title") or body.get("text") or body.get("public_key") or ""), str(body.get("device") or "")
        if not device:
            return says
        words = device_in_words(device)
        return says.replace(device, words) if device in says else f"{words}: {says}" if says else words

    @property
    def who(self) -> str:
        """Who did it or says so."""
        body = self.filed.draft.body
        return ", ".join(dict.fromkeys(one["who"] for one in body["readings"])) if self.now else str(body.get("who", ""))

    @property
    def touched_by(self) -> str:
        """Who touched its path since so that it is void."""
        return ", ".join(dict.fromkeys(one.who for one in self.now.void_by)) if self.now else ""

    @property
    def frame(self) -> str:
        """The frame of a test's answer, by the grammar of answers."""
        if self.now is None or self.now.state in ("void", "corrected"):
            return "void"
        verdict = self.filed.draft.body["verdict"]
        return {"within limits": "within", "not within limits": "not-within"}.get(verdict, "not-yet")


@router.get("", dependencies=[SEES])
def records_page(
    request: Request, records: RecordsOf, words: Words = "", kind: Words = "", from_day: Day = "", to_day: Day = ""
) -> Response:  # fmt: skip
    """Search, newest first."""
    asked = {"words": words, "kind": kind, "from_day": from_day, "to_day": to_day}
    found, error = _found(records, asked)
    return page(request, "records.html", 400 if error else 200, asked=asked, kinds=KINDS, found=found, error=error, most=SHOWN)


@router.get("/audit", dependencies=[SEES])
def audit(request: Request, records: RecordsOf, words: Words = "", from_day: Day = "", to_day: Day = "") -> Response:
    """For whoever audits: what was tested, by whom, in which state it is, touched by whom since."""
    asked = {"words": words, "kind": "test", "from_day": from_day, "to_day": to_day}
    found, error = _found(records, asked)
    return page(request, "records_audit.html", 400 if error else 200, asked=asked, found=found, error=error, states=STATES,
                most=SHOWN, no_permission=NO_PERMISSION)  # fmt: skip


@router.get("/verify", dependencies=[needs("verify records")])
def verification(request: Request) -> Response:
    """How far the look through all records is, or what it found."""
    return page(
        request, "records_verify_part.html" if is_part(request) else "records_verify.html", far=_verifying(request).how_far
    )


@router.post("/verify", dependencies=[needs("verify records")])
def verify(request: Request) -> Response:
    """Begin to look."""
    _verifying(request).begin()
    return RedirectResponse("/records/verify", 303)


@router.get("/export/{form}", dependencies=[needs("export records")])
def export(form: Literal["jsonl", "csv", "parquet"], records: RecordsOf) -> Response:
    """All entries as a file."""
    folder = Path(mkdtemp(prefix="headstock-export-"))
    path = folder / f"records.{form}"
    if form == "jsonl":
        back_up(_stored(records), path)
    else:
        export_records(records.every(), path)
    return FileResponse(path, filename=path.name, background=BackgroundTask(_taken_away, path))


@router.get("/{name}", dependencies=[SEES])
def entry(request: Request, name: str, records: RecordsOf) -> Response:
    """One entry whole."""
    with answered_as(NOT_THERE):
        filed = entry_named(name, records)
    shown = _shown(filed, records)
    about = [_shown(one, records) for one in records.search(Search((f"about:{filed.draft.key}",)))]
    return page(request, "record.html", shown=shown, about=about, states=STATES, no_permission=NO_PERMISSION,
                voids=void_words(shown.now) if shown.now else [])  # fmt: skip


@router.get("/{name}/certificate", dependencies=[needs("print a certificate")])
def certificate(name: str, records: RecordsOf) -> Response:
    """The certificate of a test, to print."""
    with answered_as(NOT_THERE):
        filed = entry_named(name, records)
    if filed.draft.kind != "test":
        raise no_certificate(filed.draft.kind)
    with TemporaryDirectory(prefix="headstock-certificate-") as folder:
        path, _ = print_certificate(state_of_test(filed, records), _stored(records), Path(folder))
        content = path.read_bytes()
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{path.name}"'})


def _found(records: Records, asked: dict[str, str]) -> tuple[list[EntryShown], InputError | None]:
    try:
        for option in ("from_day", "to_day"):
            if asked[option]:
                day_s(asked[option], option.partition("_")[0])
    except InputError as error:
        return [], error
    wanted = Search(tuple(asked["words"].split()), asked["kind"], asked["from_day"], asked["to_day"], SHOWN)
    return [_shown(one, records) for one in records.search(wanted)], None


def _shown(filed: Filed, records: Records) -> EntryShown:
    return EntryShown(filed, state_of_test(filed, records) if filed.draft.kind == "test" else None)


def _stored(records: Records) -> StoredRecords:
    return cast("StoredRecords", records)


def _verifying(request: Request) -> Verifying:
    found: Verifying = request.app.state.verifying
    return found


def _taken_away(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.parent.rmdir()
