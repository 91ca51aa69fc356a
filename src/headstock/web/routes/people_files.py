"""Competence as files: sign-offs as CSV out and in, their last days as a calendar, everything about one person."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response, UploadFile
from fastapi.responses import JSONResponse

from headstock.base.errors import Fault, InputError
from headstock.exchange.competence_csv import ASKED, competences_csv, competences_from_csv
from headstock.exchange.lapses_calendar import lapses_calendar
from headstock.usecases.competence_now import person_now
from headstock.usecases.people_on_record import people_now
from headstock.usecases.person_export import person_export
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.web.asked import RecordsOf
from headstock.web.people_seen import ALL, must_see
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(prefix="/people", include_in_schema=False)
Name = Annotated[str, Query(max_length=100)]
SEES_ALL, SEES_OWN, SIGNS = needs(ALL), needs("see own competence"), needs("sign somebody off")


@router.get("/sign-offs.csv", dependencies=[SEES_ALL])
def csv_out(records: RecordsOf) -> Response:
    """Every sign-off of everybody on the lists."""
    return _file(competences_csv(people_now(records, date.today()).held), "text/csv; charset=utf-8", "sign-offs.csv")


@router.get("/sign-offs", dependencies=[SIGNS])
def csv_form(request: Request) -> Response:
    """Where a file is sent."""
    return page(request, "people_csv.html", asked=ASKED, error=None, read=None, drill=DRILL_CAUTION)


@router.post("/sign-offs", dependencies=[SIGNS])
def csv_in(request: Request, records: RecordsOf, file: UploadFile | None = None) -> Response:
    """Sign-offs from a file, all or none."""
    try:
        if file is None or not file.filename:
            raise InputError(Fault("no file was chosen", path="file", found="nothing", expected="a CSV file"))
        read = competences_from_csv(file.file.read(), file.filename, records)
    except InputError as error:
        return page(request, "people_csv.html", 400, asked=ASKED, error=error, read=None, drill=DRILL_CAUTION)
    filed = records.append(read.drafts)
    return page(request, "people_csv.html", asked=ASKED, error=None, read=read, filed=filed, drill=DRILL_CAUTION)


@router.get("/last-days.ics", dependencies=[SEES_ALL])
def calendar(records: RecordsOf) -> Response:
    """The last days of everybody's sign-offs."""
    return _file(lapses_calendar(people_now(records, date.today()).held), "text/calendar; charset=utf-8", "last-days.ics")


@router.get("/person/last-days.ics", dependencies=[SEES_OWN])
def own_calendar(request: Request, records: RecordsOf, name: Name = "") -> Response:
    """Those of one person."""
    must_see(request, name, records)
    held = person_now(name.strip(), records, date.today()).competences
    return _file(lapses_calendar(held), "text/calendar; charset=utf-8", "last-days.ics")


@router.get("/person/everything.json", dependencies=[SEES_OWN])
def everything(request: Request, records: RecordsOf, name: Name = "") -> Response:
    """Everything on record about one person."""
    must_see(request, name, records)
    if not name.strip():
        raise InputError(Fault("about whom?", path="name", found="nothing", expected="a name as records write it"))
    content = person_export(name.strip(), records, date.today())
    return JSONResponse(content, headers={"Content-Disposition": 'attachment; filename="on-record.json"'})


def _file(content: bytes, kind: str, name: str) -> Response:
    return Response(content, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})
