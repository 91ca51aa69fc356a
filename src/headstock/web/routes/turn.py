"""This turn: jobs on the book, and a new one."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from headstock.usecases.job_book import booked_jobs
from headstock.web.asked import RecordsOf
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.get("/", dependencies=[needs("see jobs")])
def turn(request: Request, records: RecordsOf) -> Response:
    """Jobs planned and in hand."""
    return page(request, "turn.html", jobs=booked_jobs(records))
