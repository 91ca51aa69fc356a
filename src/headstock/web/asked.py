"""What routes ask of the application: its answers, its records, who looks."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from headstock.equipment.library import Fleet
from headstock.usecases.records_port import Records
from headstock.web.answers import Answers
from headstock.web.long_work import LongWork
from headstock.web.visitor import Visitor, visitor_of
from headstock.web.work_in_hand import LongWorks


def _answers(request: Request) -> Answers:
    found: Answers = request.app.state.answers
    return found


def _records(request: Request) -> Records:
    return _answers(request).records


def _long_work(request: Request) -> LongWork:
    found: LongWork = request.app.state.long_work
    return found


def _works(request: Request) -> LongWorks:
    found: LongWorks = request.app.state.long_works
    return found


def _fleet_files(request: Request) -> Fleet:
    found: Fleet = request.app.state.fleet_files
    return found


async def _form(request: Request) -> dict[str, str]:
    """The fields of a form, read before the work that they ask for, which then stands in nobody's way."""
    return {name: value for name, value in (await request.form()).items() if isinstance(value, str)}


AnswersOf = Annotated[Answers, Depends(_answers)]
RecordsOf = Annotated[Records, Depends(_records)]
FleetFilesOf = Annotated[Fleet, Depends(_fleet_files)]
"""The fleet as its files say, without versions on record."""
LongWorkOf = Annotated[LongWork, Depends(_long_work)]
WorksOf = Annotated[LongWorks, Depends(_works)]
VisitorOf = Annotated[Visitor, Depends(visitor_of)]
FormOf = Annotated[dict[str, str], Depends(_form)]
