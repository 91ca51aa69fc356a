"""What is declared of every call: its answer, and the one shape of every error with the statuses it comes with."""

from __future__ import annotations

import json
from typing import Any

from fastapi import Response
from pydantic import BaseModel, Field

from headstock.usecases.answers_as_data.can import finite


class FaultSaid(BaseModel):
    """One thing wrong with what was sent."""

    what: str = Field(description="what is wrong")
    file: str = Field(description="name of the file it stands in; empty where it stands in none")
    line: int | None = Field(description="line of the file, from 1")
    path: str = Field(description="field, or option")
    found: str | None = Field(description="what was found")
    expected: str | None = Field(description="what was expected instead")
    nearest: str | None = Field(description="the nearest valid value")


class ErrorSaid(BaseModel):
    """What was refused, and what to do."""

    code: str = Field(description="stable name of the kind of error")
    message: str = Field(description="what was refused, on one line")
    where: str = Field(description="the file, with its line where there is one fault")
    why: str = Field(description="the reason, where there is more to say")
    cure: str = Field(description="what to do")
    faults: list[FaultSaid] = Field(description="every single fault")


class ErrorAnswer(BaseModel):
    """The shape of every error, the same as on the command line with --json."""

    error: ErrorSaid


STATUSES = {
    400: "what was sent cannot be meant: every fault, with its line",
    403: "sent from elsewhere, or not for this visitor",
    404: "nothing of that name",
    409: "the key holds something else already",
    413: "longer than is read (2 000 000 bytes), or without its length",
    422: "not of the form that is asked for, a NUL in a text, or refused with every reason",
    503: "not now: too many ask, it takes long, or the records cannot be written; ask again",
}


def said(meaning: str) -> dict[int | str, dict[str, Any]]:
    """The answers of a call, for its description."""
    plain = {"description": meaning, "content": {"application/json": {"schema": {}}}}
    errors: dict[int | str, dict[str, Any]] = {}
    for status, words in STATUSES.items():
        errors[status] = {"model": ErrorAnswer, "description": words}
    return {200: plain, **errors}


def as_answer(value: Any, status: int = 200) -> Response:
    """Plain values as an answer."""
    return answered(as_bytes(value), status)


def as_bytes(value: Any) -> bytes:
    """Plain values as JSON; a number without an end is null."""
    return json.dumps(finite(value), ensure_ascii=False, allow_nan=False).encode("utf-8", "surrogatepass")


def answered(content: bytes, status: int = 200) -> Response:
    """JSON as an answer."""
    return Response(content, status, media_type="application/json")
