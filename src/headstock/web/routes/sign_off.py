"""Signing somebody off: what a named assessor saw on real units, put on record; and taking somebody off the lists."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Annotated, get_args
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, InputError
from headstock.usecases.job_file import CrewRole
from headstock.usecases.papers_sat import PapersSat
from headstock.usecases.people_on_record import left_draft
from headstock.usecases.record_practice import DRILL_CAUTION, CompetenceGiven, competence_to_file
from headstock.usecases.sittings import Sittings
from headstock.web.asked import AnswersOf, FormOf, RecordsOf, VisitorOf
from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(prefix="/people", include_in_schema=False)
SIGNS = needs("sign somebody off")
FIELDS = ("person", "role", "first", "second", "place", "since", "until", "assessor", "watched", "about")
FIELD_OF = {"PERSON": "person", "--unit": "first", "--about": "about"}
"""Where a fault of an option of the command line stands on the page."""
Line = Annotated[str, Form(max_length=400)]


@dataclass(frozen=True, slots=True)
class SignOffForm:
    """What was given, by field, and what is wrong with it."""

    values: dict[str, str]
    faults: dict[str, list[str]] = field(default_factory=dict)

    def of(self, name: str) -> str:
        """What a field holds."""
        return self.values.get(name, "")

    def blame(self, faults: Iterable[Fault]) -> None:
        """Lay each fault beside its field."""
        for fault in faults:
            name = FIELD_OF.get(fault.path, fault.path.removeprefix("--"))
            self.faults.setdefault(name if name in FIELDS else "", []).append(replace(fault, path="").text())


@router.get("/sign-off", dependencies=[SIGNS])
def form(request: Request, answers: AnswersOf, person: Annotated[str, Query(max_length=100)] = "") -> Response:
    """The form."""
    return _form(request, answers, SignOffForm({"person": person}))


@router.post("/sign-off", dependencies=[SIGNS])
def sign(request: Request, answers: AnswersOf, records: RecordsOf, visitor: VisitorOf, sent: FormOf) -> Response:
    """Put a sign-off on record; who is signed in is the assessor."""
    given = SignOffForm({name: sent.get(name, "")[:400].strip() for name in FIELDS})
    if visitor.name:
        given.values["assessor"] = visitor.name
    try:
        draft = competence_to_file(_competence(given), records, answers.fleet.types)
    except InputError as error:
        given.blame(error.faults)
        return _form(request, answers, given)
    (filed,) = records.append([draft])
    return RedirectResponse(f"/people/person?{urlencode({'name': given.of('person'), 'saved': filed.code})}", 303)


@router.post("/person/off", dependencies=[needs("take somebody off the lists")])
def take_off(
    request: Request, records: RecordsOf, visitor: VisitorOf, name: Line = "", who: Line = "", why: Line = ""
) -> Response:  # fmt: skip
    """Somebody stands on no list any more, nor in courses of sittings or on papers sat; what is on record stays."""
    records.append([left_draft(name, visitor.name or who, why)])
    sittings: Sittings = request.app.state.sittings
    sittings.unname(name)
    papers: PapersSat = request.app.state.papers
    papers.unname(name)
    return RedirectResponse(f"/people/person?{urlencode({'name': name.strip()})}", 303)


def _competence(given: SignOffForm) -> CompetenceGiven:
    of = given.of
    units = tuple(dict.fromkeys(one for one in (of("first"), of("second")) if one))
    about = tuple(one.strip() for one in of("about").replace(";", ",").split(",") if one.strip())
    return CompetenceGiven(of("person"), of("role"), units, of("place"), of("since"), of("until"), of("assessor"), of("watched"),
                           about)  # fmt: skip


def _form(request: Request, answers: AnswersOf, given: SignOffForm) -> Response:
    return page(request, "sign_off.html", 400 if given.faults else 200, form=given, drill=DRILL_CAUTION, roles=get_args(CrewRole),
                types=[(key, kind.title) for key, kind in answers.fleet.types.items()])  # fmt: skip
