"""A job's page: the train along the top, both ends, and the parts that are there already; the others come when they are ready."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Query, Request, Response

from headstock.usecases.job_book import job_named
from headstock.usecases.job_hand import hand_of, hands
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.job_answers import JobAnswers
from headstock.web.job_sections import SECTIONS, section_content
from headstock.web.job_view import ends_content, header_content, train_content
from headstock.web.replies import is_part, page, part
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{code}", dependencies=[needs("see jobs")])
def job(request: Request, code: str, records: RecordsOf, answers: AnswersOf, block: int = Query(1, ge=1, le=99)) -> Response:
    """The job's page."""
    of_job = JobAnswers(answers, job_named(code, records))
    said = hand_of(of_job.job, hands(records))
    ready = {
        name: part(section.template, job=of_job.job, name=name, section=section, **section_content(of_job, name, block))
        for name, section in SECTIONS.items()
        if section.is_ready(of_job)
    }
    return page(
        request, "job.html", hand=said, ready=ready, sections=SECTIONS, block=block, **header_content(of_job),
        train=part("job_train.html", job=of_job.job, **train_content(of_job, block)),
        ends=part("job_ends.html", job=of_job.job, **ends_content(of_job, block)),
    )  # fmt: skip


@router.get("/jobs/{code}/show/train", dependencies=[needs("see jobs")])
def train(request: Request, code: str, records: RecordsOf, answers: AnswersOf, block: int = Query(1, ge=1, le=99)) -> Response:
    """The train as it stands before a block."""
    of_job = JobAnswers(answers, job_named(code, records))
    return _part(request, of_job, "job_train.html", train_content(of_job, block))


@router.get("/jobs/{code}/show/ends", dependencies=[needs("see jobs")])
def ends(request: Request, code: str, records: RecordsOf, answers: AnswersOf, block: int = Query(1, ge=1, le=99)) -> Response:
    """Both ends as they stand before a block."""
    of_job = JobAnswers(answers, job_named(code, records))
    return _part(request, of_job, "job_ends.html", ends_content(of_job, block))


def _part(request: Request, of_job: JobAnswers, template: str, content: dict[str, Any]) -> Response:
    if is_part(request):
        return page(request, template, job=of_job.job, **content)
    return page(request, "job_part.html", inner=template, job=of_job.job, **content)
