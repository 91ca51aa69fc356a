"""Stop, make safe; and handing over: what is to be done now, after the last line that is done, and how it then stands."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from headstock.base.errors import Fault, InputError
from headstock.sheets.half_done_content import half_done_content
from headstock.usecases.job_book import job_named
from headstock.usecases.relieve_job import JobRelieved, relieve_job
from headstock.usecases.stop_job import JobStopped, stop_job
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.job_answers import JobAnswers
from headstock.web.replies import page
from headstock.web.visitor import needs

IN_SIGHT = ("Hand and parking brakes", "Brake test", "Isolations carried")
"""What of how it stands is never folded: what holds, whether a test is good, what is cut out."""
router = APIRouter(include_in_schema=False)
Line = Annotated[int, Query(ge=0, le=999)]


@router.get("/jobs/{code}/stop", dependencies=[needs("see jobs")])
def stop(request: Request, code: str, records: RecordsOf, answers: AnswersOf, after: Line = 0) -> Response:
    """What is done now so that everything is left safe."""
    of_job = JobAnswers(answers, job_named(code, records))
    found = half_done(of_job, after)
    return _shown(request, of_job, found, after)


@router.get("/jobs/{code}/hand-over", dependencies=[needs("see jobs")])
def hand_over(
    request: Request, code: str, records: RecordsOf, answers: AnswersOf, after: Line = 0,
    role: Annotated[str, Query(max_length=20)] = "", name: Annotated[str, Query(max_length=60)] = "",
) -> Response:  # fmt: skip
    """Who takes over what, what he is told, what he looks at himself, what comes next; first who it is, where nobody is named."""
    of_job = JobAnswers(answers, job_named(code, records))
    if not role and not name:
        return _shown(request, of_job, None, after)
    return _shown(request, of_job, half_done(of_job, after, role, name.strip()), after, role, name)


def half_done(of_job: JobAnswers, after: int, role: str = "", name: str = "") -> JobStopped | JobRelieved:
    """The way on from a half-done job. Raises InputError where there is no order of work, no such line, role or name."""
    plan = of_job.plan()
    if plan.answer != "yes":
        raise InputError(Fault("no order of work to break off", found=plan.answer, expected="a job with an order of work"))
    if not role:
        return of_job.answers.kept(("stopped", of_job.job.digest, str(after)), lambda: stop_job(plan, after))
    if not name:
        raise InputError(Fault("nobody named who takes over", path="name", found="nothing", expected="a name"))
    return of_job.answers.kept(
        ("relieved", of_job.job.digest, str(after), role, name), lambda: relieve_job(plan, after, role, name)
    )


def _shown(
    request: Request, of_job: JobAnswers, found: JobStopped | JobRelieved | None, after: int, role: str = "", name: str = ""
) -> Response:
    plan = of_job.plan()
    steps = plan.order.steps if plan.order is not None and plan.answer == "yes" else ()
    if not steps:
        raise InputError(Fault("no order of work to break off", found=plan.answer, expected="a job with an order of work"))
    lines = [(0, "nothing done yet"), *((number, f"{step.role}: {step.key}") for number, step in enumerate(steps, start=1))]
    sheet = half_done_content(found) if found is not None else None
    return page(request, "job_stop.html", job=of_job.job, found=found, after=after, role=role, name=name, lines=lines,
                crew=dict(plan.papers.job.crew), in_sight=IN_SIGHT, sheet=sheet)  # fmt: skip
