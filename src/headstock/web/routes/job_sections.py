"""The parts of a job's page by themselves: ready, still being worked out, or stopped by whoever asked."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, HTTPException, Query, Request, Response
from fastapi.responses import RedirectResponse

from headstock.usecases.job_book import job_named
from headstock.web.asked import AnswersOf, RecordsOf, WorksOf
from headstock.web.drawings.working import working_train
from headstock.web.job_answers import JobAnswers
from headstock.web.job_sections import SECTIONS, Section, section_content
from headstock.web.replies import is_part, page
from headstock.web.visitor import needs
from headstock.web.work_in_hand import LongWorks, Piece, Stopped

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{code}/show/{name}", dependencies=[needs("see jobs")])
def section(
    request: Request, code: str, name: str, records: RecordsOf, answers: AnswersOf, works: WorksOf,
    block: int = Query(1, ge=1, le=99), stopped: bool = False,
) -> Response:  # fmt: skip
    """One part: as it is, or how far it is."""
    of_job, wanted = JobAnswers(answers, job_named(code, records)), _section(name)
    if stopped:
        return _reply(request, of_job, name, "job_stopped.html", {})
    if not wanted.is_ready(of_job):
        piece = _begun(works, of_job, wanted)
        if piece.ended.is_set() and isinstance(piece.error, Stopped):
            return _reply(request, of_job, name, "job_stopped.html", {})
        if piece.error is not None:
            raise piece.error
        if not wanted.is_ready(of_job):
            vehicles = sum(len(unit.unit_type.vehicles) for unit in of_job.read().train.units)
            drawn = working_train(vehicles, piece.done / piece.of if piece.of else 0.0)
            return _reply(request, of_job, name, "job_working.html", {"piece": piece, "drawn": drawn, "block": block})
    return _reply(request, of_job, name, wanted.template, section_content(of_job, name, block))


@router.post("/jobs/{code}/show/{name}/stop", dependencies=[needs("see jobs")])
def stop(request: Request, code: str, name: str, records: RecordsOf, answers: AnswersOf, works: WorksOf) -> Response:
    """Stop working a part out."""
    of_job, wanted = JobAnswers(answers, job_named(code, records)), _section(name)
    works.stop(_key(of_job, wanted))
    if is_part(request):
        return _reply(request, of_job, name, "job_stopped.html", {})
    return RedirectResponse(f"/jobs/{code}/show/{name}?stopped=1", 303)


def _section(name: str) -> Section:
    if name not in SECTIONS:
        raise HTTPException(404)
    return SECTIONS[name]


def _key(of_job: JobAnswers, wanted: Section) -> tuple[str, ...]:
    return wanted.kept_as, of_job.job.digest


def _begun(works: LongWorks, of_job: JobAnswers, wanted: Section) -> Piece:
    asks = wanted.asks
    assert asks is not None
    return works.begin(_key(of_job, wanted), wanted.works, lambda tell: asks(of_job, tell))


def _reply(request: Request, of_job: JobAnswers, name: str, template: str, content: dict[str, Any]) -> Response:
    shown = {"job": of_job.job, "name": name, "section": SECTIONS[name], **content}
    if is_part(request):
        return page(request, template, **shown)
    return page(request, "job_part.html", inner=template, **shown)
