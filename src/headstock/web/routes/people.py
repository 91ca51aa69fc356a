"""People: who is signed off for what, what lapses when, how often done lately; one person; an instructor's class."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, HTTPException, Query, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.usecases.competence_now import NOT_MAY, person_now
from headstock.usecases.people_on_record import PeopleNow, class_of, evidence_of, is_of, left, on_record_about, people_now
from headstock.usecases.record_practice import DRILL_CAUTION
from headstock.usecases.record_terms import name_key
from headstock.usecases.records_port import Records
from headstock.usecases.who_may import SOON_DAYS
from headstock.web.asked import RecordsOf, VisitorOf
from headstock.web.people_seen import ALL, CLASS, day_given, must_see, sees
from headstock.web.replies import page
from headstock.web.statuses import NOT_THERE, WithStatus
from headstock.web.visitor import needs

router = APIRouter(prefix="/people", include_in_schema=False)
Name = Annotated[str, Query(max_length=100)]
Day = Annotated[str, Query(max_length=10)]
SHOWN = 50


@router.get("", dependencies=[needs("see own competence")])
def people(request: Request, records: RecordsOf, visitor: VisitorOf, day: Day = "") -> Response:
    """Everybody, for who may see them; others are led to their class or themselves."""
    if not sees(request, ALL):
        place, name = ("class", "of") if sees(request, CLASS) else ("person", "name")
        return RedirectResponse(f"/people/{place}?{urlencode({name: visitor.name})}", 303)
    return _list(request, records, day, "")


@router.get("/class", dependencies=[needs("see a class")])
def class_page(request: Request, records: RecordsOf, visitor: VisitorOf, of: Name = "", day: Day = "") -> Response:
    """Whom an instructor led, marked or signed off; another's class only for who may see everybody."""
    if not sees(request, ALL) and not is_of(of, [name_key(visitor.name)]):
        raise HTTPException(403, "an instructor sees the class of their own")
    return _list(request, records, day, of.strip())


@router.get("/person", dependencies=[needs("see own competence")])
def person(request: Request, records: RecordsOf, visitor: VisitorOf, name: Name = "", saved: Name = "") -> Response:
    """One person: sign-offs, evidence."""
    must_see(request, name, records)
    name = name.strip()
    is_own = bool(visitor.name) and is_of(visitor.name, [name_key(name)])
    found = person_now(name, records, date.today())
    evidence = evidence_of(name, records, SHOWN)
    about = on_record_about(name, records) if name and not (found.competences or evidence) else ()
    if not (found.competences or evidence or about or is_own):
        raise WithStatus(NOT_THERE, _nobody(name, records, sees(request, ALL)))
    return page(request, "person.html", now=found, evidence=evidence, saved=saved, is_gone=is_of(name, left(records)),
                may_sign=sees(request, "sign somebody off"), may_take_off=sees(request, "take somebody off the lists"),
                soon=SOON_DAYS, most=SHOWN, not_may=NOT_MAY, drill=DRILL_CAUTION)  # fmt: skip


def _nobody(name: str, records: Records, may_hear_names: bool) -> InputError:
    names = [line.person for line in people_now(records, date.today()).lines] if may_hear_names else []
    fault = Fault("nobody of that name is on record", found=name or "nothing", expected="a name as records write it",
                  nearest=nearest_of(name, names))  # fmt: skip
    return InputError(fault, cure="People shows who is on record.")


def _list(request: Request, records: Records, day: str, of: str) -> Response:
    request.state.act = CLASS if of else ALL  # a trace says what was seen
    asked: dict[str, Any] = {"day": day, "of": of, "error": None}
    try:
        on_day = day_given(day)
    except InputError as error:
        asked["error"], on_day = error, date.today()
    now = people_now(records, on_day)
    if of:
        now = _only(now, class_of(of, records))
    return page(
        request, "people.html", 400 if asked["error"] else 200, now=now, on_day=on_day, soon=SOON_DAYS, not_may=NOT_MAY,
        drill=DRILL_CAUTION, lapsing=[one for one in now.held if one.state == "in date" and one.left_days <= SOON_DAYS],
        sees_all=sees(request, ALL), may_sign=sees(request, "sign somebody off"), **asked,
    )  # fmt: skip


def _only(now: PeopleNow, keys: frozenset[str]) -> PeopleNow:
    held = tuple(one for one in now.held if is_of(str(one.filed.draft.body["person"]), keys))
    return replace(now, lines=tuple(line for line in now.lines if is_of(line.person, keys)), held=held)
