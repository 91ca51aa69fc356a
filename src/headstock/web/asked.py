"""What routes ask of the application: its answers, its records, who looks."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from headstock.usecases.records_port import Records
from headstock.web.answers import Answers
from headstock.web.long_work import LongWorks
from headstock.web.visitor import Visitor, visitor_of


def _answers(request: Request) -> Answers:
    found: Answers = request.app.state.answers
    return found


def _records(request: Request) -> Records:
    return _answers(request).records


def _works(request: Request) -> LongWorks:
    found: LongWorks = request.app.state.long_works
    return found


AnswersOf = Annotated[Answers, Depends(_answers)]
RecordsOf = Annotated[Records, Depends(_records)]
WorksOf = Annotated[LongWorks, Depends(_works)]
VisitorOf = Annotated[Visitor, Depends(visitor_of)]
