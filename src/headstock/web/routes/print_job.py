"""A job on paper: the sheet, the roles' cards, what the train can do, the sheet of a half-done job."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Query, Response

from headstock.base.errors import Fault, InputError
from headstock.usecases.job_book import job_named
from headstock.usecases.plan_job import JobPlan
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.job_answers import JobAnswers
from headstock.web.routes.stop_job import half_done
from headstock.web.visitor import needs
from headstock.wiring import print_can_sheet, print_cards, print_half_done_sheet, print_sheet

router = APIRouter(include_in_schema=False)
Line = Annotated[int, Query(ge=0, le=999)]


@router.get("/jobs/{code}/sheet.pdf", dependencies=[needs("see jobs")])
def sheet(code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """The job sheet."""
    of_job = JobAnswers(answers, job_named(code, records))
    plan = _planned(of_job)
    return _pdf(of_job, ("sheet",), lambda folder: print_sheet(plan, folder, of_job.forecast()))


@router.get("/jobs/{code}/cards.pdf", dependencies=[needs("see jobs")])
def cards(code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """A pocket card for each role."""
    of_job = JobAnswers(answers, job_named(code, records))
    plan = _planned(of_job)
    return _pdf(of_job, ("cards",), lambda folder: print_cards(plan, folder))


@router.get("/jobs/{code}/can.pdf", dependencies=[needs("see jobs")])
def can(code: str, records: RecordsOf, answers: AnswersOf) -> Response:
    """What the train can do."""
    of_job = JobAnswers(answers, job_named(code, records))
    return _pdf(of_job, ("can",), lambda folder: print_can_sheet(of_job.can(), folder))


@router.get("/jobs/{code}/stop.pdf", dependencies=[needs("see jobs")])
def stopped(
    code: str, records: RecordsOf, answers: AnswersOf, after: Line = 0,
    role: Annotated[str, Query(max_length=20)] = "", name: Annotated[str, Query(max_length=60)] = "",
) -> Response:  # fmt: skip
    """The sheet of a job that is broken off or handed over. Raises InputError where no way on was found."""
    of_job = JobAnswers(answers, job_named(code, records))
    found = half_done(of_job, after, role, name)
    if found.answer != "yes":
        raise InputError([Fault(reason) for reason in found.reasons] or Fault("no way on was found"))
    return _pdf(of_job, ("stop", str(after), role, name), lambda folder: print_half_done_sheet(found, folder))


def _planned(of_job: JobAnswers) -> JobPlan:
    """Raises InputError where there is nothing to print, with every reason."""
    plan = of_job.plan()
    if plan.answer != "yes":
        faults = [Fault(reason) for reason in plan.reasons] or [Fault("no order of work")]
        raise InputError(faults, what="there is no order of work to print")
    return plan


def _pdf(of_job: JobAnswers, what: tuple[str, ...], printed: Callable[[Path], Path]) -> Response:
    def made() -> tuple[str, bytes]:
        with tempfile.TemporaryDirectory(prefix="headstock-") as folder:
            path = printed(Path(folder))
            return path.name, path.read_bytes()

    file_name, content = of_job.answers.kept(("pdf", of_job.job.digest, *what), made)
    return Response(
        content, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{_plain(file_name)}"'}
    )


def _plain(name: str) -> str:
    """A file's name that every browser reads."""
    return "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-.") else "-" for sign in name)
