"""Question papers on screen: chosen, begun, answered, handed in; the key is on no page before that."""

from __future__ import annotations

import asyncio
from typing import Annotated

from fastapi import APIRouter, Form, HTTPException, Query, Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData

from headstock.usecases.papers_sat import ALL, PaperSat, PapersSat, paper_asked, paper_key, sat_paper_draft
from headstock.usecases.question_paper import MOST_QUESTIONS, PAPER_CAUTION, Paper, letter, make_paper
from headstock.usecases.ready_jobs import ready_jobs
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.usecases.record_terms import name_key
from headstock.web.asked import AnswersOf, LongWorkOf, RecordsOf, VisitorOf
from headstock.web.people_seen import sees
from headstock.web.replies import page
from headstock.web.visitor import needs, visitor_of
from headstock.wiring import printed_paper

router = APIRouter(prefix="/papers", include_in_schema=False)
SITS, SETS = needs("sit exercises"), needs("set a paper")
HAND_IN = ("hand in", "hand in all the same")


def _papers(request: Request) -> PapersSat:
    found: PapersSat = request.app.state.papers
    return found


@router.get("", dependencies=[SITS])
def papers(request: Request, answers: AnswersOf) -> Response:
    """Choose one; for whoever sets papers, those that were sat of late."""
    lately = _papers(request).lately() if sees(request, "set a paper") else ()
    return page(
        request,
        "papers.html",
        all=ALL,
        about=answers.kept(("ready jobs",), ready_jobs),
        most=MOST_QUESTIONS,
        lately=lately,
        drill=DRILL_CAUTION,
    )


@router.get("/choose", dependencies=[SITS])
def choose(
    job: Annotated[str, Query(max_length=60)], count: Annotated[int, Query(ge=1, le=MOST_QUESTIONS)] = 20,
    seed: Annotated[int, Query(ge=0, le=999_999_999)] = 1,
) -> Response:  # fmt: skip
    """To a paper by what it is about."""
    return RedirectResponse(f"/papers/{paper_asked(f'{job}-{count}-{seed}').name}", 303)


@router.get("/sat/{code}", dependencies=[SITS])
def sat(request: Request, code: str, records: RecordsOf) -> Response:
    """A paper in hand; after it is handed in, what was right and why."""
    found = _own(request, code)
    if not found.is_handed_in:
        return _in_hand(request, found)
    on_record = records.named(paper_key(found))
    return page(request, "paper_marked.html", sat=found, letter=letter, cautions=(DRILL_CAUTION, PAPER_CAUTION),
                on_record=on_record, may_record=sees(request, "set a paper"))  # fmt: skip


def _own(request: Request, code: str) -> PaperSat:
    """Raises HTTPException where it is somebody else's and not for this visitor to see; InputError."""
    found, own = _papers(request).named(code), visitor_of(request).name
    if own and name_key(own) != name_key(found.person) and not sees(request, "set a paper"):
        raise HTTPException(403, "a paper is for whoever sat it, and for those who set papers")
    return found


def _sitter_alone(request: Request, found: PaperSat) -> None:
    """Who sets papers may look at another's, and answers none of its questions. Raises HTTPException."""
    own = visitor_of(request).name
    if own and name_key(own) != name_key(found.person):
        raise HTTPException(403, "a paper is answered by whoever sits it, and by nobody else")


def _in_hand(request: Request, found: PaperSat, is_asked: bool = False, is_kept: bool = False) -> Response:
    return page(request, "paper_sat.html", sat=found, letter=letter, is_asked=is_asked, is_kept=is_kept,
                cautions=(PAPER_CAUTION,))  # fmt: skip


@router.post("/sat/{code}", dependencies=[SITS])
async def answer(request: Request, code: str) -> Response:
    """Answers kept, or the paper handed in; with questions left open it is asked first."""
    return await asyncio.to_thread(_answered, request, code, await request.form())


def _answered(request: Request, code: str, form: FormData) -> Response:
    found, does = _own(request, code), str(form.get("do", ""))
    if found.is_handed_in:
        return RedirectResponse(f"/papers/sat/{found.code}", 303)
    _sitter_alone(request, found)
    given = tuple(_option(str(form.get(f"q{number}", ""))) for number in range(1, len(found.answers) + 1))
    hands_in = does in HAND_IN and (None not in given or does != HAND_IN[0])
    found = _papers(request).answer(code, given, hands_in)
    if hands_in:
        return RedirectResponse(f"/papers/sat/{found.code}", 303)
    return _in_hand(request, found, is_asked=does in HAND_IN, is_kept=does not in HAND_IN)


def _option(said: str) -> int | None:
    return "ABCD".index(said) if said in tuple("ABCD") else None


@router.post("/sat/{code}/record", dependencies=[SETS])
def put_on_record(
    request: Request, code: str, records: RecordsOf, visitor: VisitorOf, marked_by: Annotated[str, Form(max_length=100)] = ""
) -> Response:  # fmt: skip
    """Put it on record, once."""
    found = _papers(request).named(code)
    known = records.named(paper_key(found))
    if known is None:
        (known,) = records.append([sat_paper_draft(found, visitor.name or marked_by)])
    return RedirectResponse(f"/records/{known.code}", 303)


@router.get("/{name}", dependencies=[SITS])
def cover(request: Request, name: str, answers: AnswersOf, long_work: LongWorkOf) -> Response:
    """What it is about, and beginning it."""
    return page(request, "paper.html", name=name, paper=_made(name, answers, long_work), cautions=(DRILL_CAUTION, PAPER_CAUTION),
                may_set=sees(request, "set a paper"))  # fmt: skip


def _made(name: str, answers: AnswersOf, long_work: LongWorkOf) -> Paper:
    """A paper, made once. Raises InputError; NotFoundWithinBudgetError where it is being made and takes long."""
    asked = paper_asked(name)

    def made() -> Paper:
        return answers.kept(
            ("paper", asked.name), lambda: make_paper(asked.jobs, asked.count, asked.seed, answers.fleet, answers.engine)
        )

    paper: Paper = made() if answers.is_kept("paper", asked.name) else long_work.answer(("paper", asked.name), made)
    return paper


@router.post("/{name}/begin", dependencies=[SITS])
def begin(
    request: Request, name: str, answers: AnswersOf, long_work: LongWorkOf, visitor: VisitorOf,
    person: Annotated[str, Form(max_length=40)] = "",
) -> Response:  # fmt: skip
    """Begin it: a paper of one's own."""
    code = _papers(request).begin(_made(name, answers, long_work), visitor.name or person)
    return RedirectResponse(f"/papers/sat/{code}", 303)


@router.get("/{name}/paper.pdf", dependencies=[SITS])
def printed(name: str, answers: AnswersOf, long_work: LongWorkOf) -> Response:
    """The questions and a sheet for the answers."""
    return _pdf(f"paper-{name}", printed_paper(_made(name, answers, long_work), False))


@router.get("/{name}/key.pdf", dependencies=[SETS])
def printed_key(name: str, answers: AnswersOf, long_work: LongWorkOf) -> Response:
    """The key with its reasons, for whoever sets papers."""
    return _pdf(f"key-{name}", printed_paper(_made(name, answers, long_work), True))


def _pdf(name: str, content: bytes) -> Response:
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}.pdf"'})
