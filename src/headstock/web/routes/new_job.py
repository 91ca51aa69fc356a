"""A new job: three choices and how all was left; from a job that comes with the program; or a job file as it is."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response, UploadFile
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, InputError
from headstock.formation.train import Train
from headstock.usecases.built_in_papers import BuiltInPapers, built_in_papers
from headstock.usecases.job_book import job_draft
from headstock.usecases.job_form import (
    MOST_UNITS,
    JobForm,
    cabs_of,
    form_from,
    form_text,
    keep_faults,
    train_of_form,
    with_first_choices,
)
from headstock.usecases.job_to_book import check_to_book
from headstock.usecases.left_boxes import LeftGroup, left_boxes, left_of
from headstock.usecases.ready_jobs import ready_job, ready_jobs
from headstock.usecases.records_port import Draft, Records
from headstock.web.answers import Answers
from headstock.web.asked import AnswersOf, RecordsOf, VisitorOf
from headstock.web.replies import error_reply, page
from headstock.web.sent_signs import MOST_FIELDS
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)
MOST_LETTERS = 200_000
Given = dict[str, list[str]]


async def _given(request: Request) -> Given:
    """A form's fields as sent, each with all its values."""
    form = await request.form(max_fields=MOST_FIELDS)
    return {key: [value for value in form.getlist(key) if isinstance(value, str)] for key in form}


GivenOf = Annotated[Given, Depends(_given)]


@router.get("/jobs/new", dependencies=[needs("plan jobs")])
def new(request: Request, answers: AnswersOf) -> Response:
    """The three choices."""
    papers = _papers(answers)
    first = {"work": "attach", "place": papers.places[0].key, "local_rules": papers.rules[-1].key, "method": ""}
    return _choices(request, answers, JobForm(first, (), {}, {}))


@router.post("/jobs/new", dependencies=[needs("plan jobs")])
def new_from_form(request: Request, given: GivenOf, records: RecordsOf, answers: AnswersOf, visitor: VisitorOf) -> Response:
    """On to the rest of the form, back to the choices, or the job made."""
    form = form_from(given)
    step = given.get("step", ["rest"])[0]
    train = train_of_form(form, answers.fleet)
    if train is None:
        return _choices(request, answers, form, 400)
    if step == "choices":
        return _choices(request, answers, form)
    if step != "make":
        with_first_choices(form, train)
        return _rest(request, answers, form, train, not form.crew)
    return _made(request, given, form, train, records, answers, visitor.name)


def _made(request: Request, given: Given, form: JobForm, train: Train, records: Records, answers: Answers, who: str) -> Response:
    text = form_text(form, train, left_of(train, form.of("work")), bool(given.get("invented")))
    try:
        draft, papers = job_draft(text, answers.folder, who)
        check_to_book(papers, answers.fleet)
    except InputError as error:
        keep_faults(form, error)
        if not form.crew:
            form.faults["crew"] = ["nobody is in the crew: enter who drives, and who else is there"]
        return _rest(request, answers, form, train, bool(given.get("invented")), 400)
    return _on_the_book(draft, records)


@router.post("/jobs/ready", dependencies=[needs("plan jobs")])
def new_from_ready(
    name: Annotated[str, Form(max_length=60)], records: RecordsOf, answers: AnswersOf, visitor: VisitorOf
) -> Response:
    """A job that comes with the program, put on the book."""
    draft, _ = job_draft(ready_job(name).text, answers.folder, visitor.name)
    return _on_the_book(draft, records)


@router.post("/jobs/file", dependencies=[needs("plan jobs")])
def new_from_file(
    request: Request, records: RecordsOf, answers: AnswersOf, visitor: VisitorOf,
    text: Annotated[str, Form(max_length=MOST_LETTERS)] = "", file: UploadFile | None = None,
) -> Response:  # fmt: skip
    """A job file as pasted or sent; what is wrong with it stands over it, line by line."""
    name = Path(file.filename).name if file is not None and file.filename else "the job file"
    try:
        if file is not None and file.filename:
            text = _text_of(file, name)
        if not text.strip():
            raise InputError(Fault("nothing was pasted and no file was chosen", expected="the text of a job file"))
        draft, papers = job_draft(text.replace("\r\n", "\n"), answers.folder, visitor.name)
        check_to_book(papers, answers.fleet)
    except InputError as error:
        if "application/json" in request.headers.get("accept", ""):
            return error_reply(request, _renamed(error, name))
        return page(request, "job_file.html", 400, error=_renamed(error, name), text=text)
    return _on_the_book(draft, records)


@router.get("/jobs/file", dependencies=[needs("plan jobs")])
def file_form(request: Request) -> Response:
    """Where a job file is pasted or sent."""
    return page(request, "job_file.html", error=None, text="")


def _on_the_book(draft: Draft, records: Records) -> Response:
    """To the job's page; the same job a second time is the one that is on the book."""
    filed = records.named(draft.key) or records.append([draft])[0]
    return RedirectResponse(f"/jobs/{filed.code}", 303)


def _text_of(file: UploadFile, name: str) -> str:
    try:
        return file.file.read().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(Fault("not UTF-8 text", name, expected="a file saved as UTF-8")) from None


def _renamed(error: InputError, name: str) -> InputError:
    """The same faults under the name by which whoever sent it knows the file."""
    faults = [Fault(one.what, name, one.line, one.path, one.found, one.expected, one.nearest) for one in error.faults]
    return type(error)(faults, why=error.why, cure=error.cure)


def _papers(answers: Answers) -> BuiltInPapers:
    return answers.kept(("built-in papers",), built_in_papers)


def _choices(request: Request, answers: Answers, form: JobForm, status: int = 200) -> Response:
    return page(request, "new_job.html", status, form=form, papers=_papers(answers), types=tuple(answers.fleet.types.values()),
                most=MOST_UNITS, ready=answers.kept(("ready jobs",), ready_jobs))  # fmt: skip


def _rest(request: Request, answers: Answers, form: JobForm, train: Train, invented: bool, status: int = 200) -> Response:
    groups: tuple[LeftGroup, ...] = left_boxes(train, form.of("work"), form.of("moving") == "first", form.left)
    return page(request, "new_job_rest.html", status, form=form, papers=_papers(answers), train=train, cabs=cabs_of(train),
                groups=groups, invented=invented)  # fmt: skip
