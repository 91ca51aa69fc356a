"""This turn: jobs in hand and planned, with how far their answers are, and a new one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import HeadstockError
from headstock.usecases.job_book import BookedJob, booked_jobs, job_named
from headstock.usecases.job_hand import HandSaid, hand_draft, hand_of, hands
from headstock.web.answers import Answers
from headstock.web.asked import AnswersOf, RecordsOf, VisitorOf
from headstock.web.job_answers import JobAnswers
from headstock.web.people_seen import sees
from headstock.web.replies import as_seen, page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)
MOST = 200
ANSWERED = {"yes": "order of work ready", "no": "no order of work", "not found": "no order of work found",
            "outside the model": "not planned here"}  # fmt: skip


@dataclass(frozen=True)
class JobLine:
    """A job in the list: where it is, what is known of its answers without working anything out."""

    job: BookedJob
    place: str
    joined: str
    order: str
    hand: HandSaid | None


@router.get("/", dependencies=[needs("see jobs")])
def turn(request: Request, records: RecordsOf, answers: AnswersOf) -> Response:
    """Jobs planned and in hand."""
    said = hands(records)
    lines = [_line(job, answers, hand_of(job, said)) for job in booked_jobs(records, MOST)]
    by_hand = {word: [line for line in lines if (line.hand.word if line.hand else "planned") == word]
               for word in ("in hand", "planned", "done with")}  # fmt: skip
    return page(request, "turn.html", by_hand=by_hand, any_job=bool(lines), may_plan=sees(request, "plan jobs"))


@router.post("/jobs/{code}/hand", dependencies=[needs("plan jobs")])
def hand(code: str, word: Annotated[Literal["in hand", "done with"], Form()], records: RecordsOf, visitor: VisitorOf) -> Response:
    """Say that a job is taken in hand, or done with."""
    records.append([hand_draft(job_named(code, records), word, visitor.name)])
    return RedirectResponse(f"/jobs/{code}" if word == "in hand" else "/", 303)


def _line(job: BookedJob, answers: Answers, said: HandSaid | None) -> JobLine:
    of_job = JobAnswers(answers, job)
    try:
        read = of_job.read()
    except HeadstockError as error:
        return JobLine(job, "", f"cannot be read any more: {as_seen(error).what}", "", said)
    plan = of_job.kept_plan()
    word = "joined now" if read.papers.job.work == "detach" else f"can be joined: {read.join.answer}"
    return JobLine(job, read.papers.place.name, word, "not worked out yet" if plan is None else ANSWERED[plan.answer], said)
