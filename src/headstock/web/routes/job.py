"""A job: the train along the top, can it be joined, the order of work, brake test, what it can do, mistakes, print."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from headstock.usecases.job_book import job_named
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{code}", dependencies=[needs("see jobs")])
def job(request: Request, code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """The job's page."""
    booked = job_named(code, records)
    return page(request, "job.html", job=booked, plan=answers.plan(booked))
