"""Whose competence a visitor sees: their own, an instructor their class, who leads everybody's."""

from __future__ import annotations

from datetime import date

from fastapi import HTTPException, Request

from headstock.usecases.moments import day_s
from headstock.usecases.people_on_record import class_of, is_of
from headstock.usecases.record_terms import name_key
from headstock.usecases.records_port import Records
from headstock.web.visitor import visitor_of

ALL, CLASS = "see everybody's competence", "see a class"


def sees(request: Request, act: str) -> bool:
    """Whether whoever looks may do an act."""
    return bool(request.app.state.may(visitor_of(request), act))


def must_see(request: Request, person: str, records: Records) -> None:
    """Raises HTTPException where somebody is not for this visitor to see."""
    own = visitor_of(request).name
    if own and is_of(own, [name_key(person)]):
        return
    request.state.act = ALL if sees(request, ALL) else CLASS  # a trace says that somebody else was looked at
    if not (sees(request, ALL) or (own and sees(request, CLASS) and is_of(person, class_of(own, records)))):
        raise HTTPException(403, "your role sees only its own competence, an instructor's the class too")


def day_given(text: str) -> date:
    """A day asked for, today if none. Raises InputError."""
    if not text:
        return date.today()
    day_s(text, "day")
    return date.fromisoformat(text)
