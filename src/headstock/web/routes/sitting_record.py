"""A sitting that is over: put on record, and as statements for whoever keeps records of learning."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import JSONResponse, RedirectResponse

from headstock.exchange.xapi import sitting_statements
from headstock.practice.marking import mark_of
from headstock.usecases.file_sitting import check_over, sat_draft, sitting_key
from headstock.usecases.live_sitting import LiveSitting
from headstock.usecases.sittings import Sittings
from headstock.web.asked import RecordsOf, VisitorOf
from headstock.web.visitor import needs

router = APIRouter(prefix="/sittings", include_in_schema=False)
SETS = needs("set exercises")


@router.post("/{code}/record", dependencies=[SETS])
def put_on_record(
    request: Request, code: str, records: RecordsOf, visitor: VisitorOf, led_by: Annotated[str, Form(max_length=100)] = ""
) -> Response:  # fmt: skip
    """Put it on record, once."""
    live, began = _sat(request, code)
    known = records.named(sitting_key(live.code, began))
    if known is None:
        sitting = live.tick()
        (known,) = records.append([sat_draft(sitting, mark_of(sitting), live.code, began, visitor.name or led_by)])
    return RedirectResponse(f"/records/{known.code}", 303)


@router.get("/{code}/statements.json", dependencies=[SETS])
def statements(request: Request, code: str) -> Response:
    """What each person did, as xAPI statements."""
    live, began = _sat(request, code)
    sitting = live.tick()
    check_over(sitting)
    at = datetime.fromisoformat(began).astimezone().isoformat()
    made = sitting_statements(
        str(request.base_url), live.code, live.exercise.title, at, sitting.people, mark_of(sitting), live.t_s
    )
    return JSONResponse(made, headers={"Content-Disposition": f'attachment; filename="sitting-{live.code}.json"'})


def _sat(request: Request, code: str) -> tuple[LiveSitting, str]:
    """A sitting and when it began."""
    sittings: Sittings = request.app.state.sittings
    live = sittings.named(code)
    kept = sittings.log.kept(live.code)
    return live, kept.began if kept is not None else ""
