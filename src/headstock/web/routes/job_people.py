"""Who of the people on record is signed off and in date for each role of a job, and why the others are not."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from headstock.base.errors import InputError
from headstock.usecases.competence_now import NOT_MAY
from headstock.usecases.job_book import job_named
from headstock.usecases.people_on_record import people_now
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.usecases.who_may import SOON_DAYS, who_may, work_of
from headstock.web.asked import AnswersOf, RecordsOf
from headstock.web.job_answers import JobAnswers
from headstock.web.people_seen import day_given
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.get("/jobs/{code}/people", dependencies=[needs("plan jobs")])
def job_people(
    request: Request, code: str, records: RecordsOf, answers: AnswersOf, day: Annotated[str, Query(max_length=10)] = ""
) -> Response:  # fmt: skip
    """Each role of the job."""
    of_job, error = JobAnswers(answers, job_named(code, records)), None
    try:
        on_day = day_given(day)
    except InputError as found:
        error, on_day = found, date.today()
    papers, now = of_job.papers(), people_now(records, on_day)
    work = work_of(papers.job, papers.place.name)
    roles = who_may(work, now.held, [line.person for line in now.lines])
    lately = {line.person: line for line in now.lines}
    return page(request, "job_people.html", 400 if error else 200, job=of_job.job, papers=papers, work=work, roles=roles, day=day,
                on_day=on_day, soon=SOON_DAYS, lately=lately, not_may=NOT_MAY, drill=DRILL_CAUTION, error=error)  # fmt: skip
