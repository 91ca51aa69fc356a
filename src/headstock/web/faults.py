"""Every error becomes one shape: ours, the router's, a form's, and what nobody foresaw."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from headstock.base.errors import Fault, HeadstockError, InputError
from headstock.web.guards import with_headers
from headstock.web.replies import error_reply
from headstock.web.statuses import WithStatus

LOG = logging.getLogger("headstock.web")


def add_faults(app: FastAPI) -> None:
    """Answer errors of every kind."""
    app.add_exception_handler(HeadstockError, _ours)
    app.add_exception_handler(WithStatus, _with_status)
    app.add_exception_handler(RequestValidationError, _form)
    app.add_exception_handler(HTTPException, _router)
    app.add_exception_handler(Exception, _unforeseen)


def _ours(request: Request, error: Exception) -> Response:
    assert isinstance(error, HeadstockError)
    return error_reply(request, error)


def _with_status(request: Request, error: Exception) -> Response:
    assert isinstance(error, WithStatus)
    return error_reply(request, error.error, error.status)


def _form(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    return error_reply(request, InputError([_fault(one) for one in error.errors()]), 422)


def _fault(one: dict[str, Any]) -> Fault:
    where: Sequence[Any] = one.get("loc", ())
    what, expected = str(one.get("msg", "wrong")), None
    if one.get("type") == "string_too_long":
        what, expected = "too long", f"at most {one['ctx']['max_length']} letters"
    return Fault(what, path=".".join(str(part) for part in where[1:]) or str(where[0] if where else ""),
                 found=str(one.get("input"))[:80], expected=expected)  # fmt: skip


def _router(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 403:
        of_role = str(error.detail).startswith("your role")
        cure = "Whoever keeps the accounts says who may." if of_role else ""
        return error_reply(request, InputError(Fault(str(error.detail)), cure=cure), 403)
    said = {404: "no page of that name", 405: "not to be asked in this way"}.get(error.status_code, str(error.detail))
    return error_reply(request, InputError(Fault(said, found=request.url.path), cure="Look for it in the list at the top."),
                       error.status_code)  # fmt: skip


def _unforeseen(request: Request, error: Exception) -> Response:
    LOG.error("%s %s", request.method, request.url.path, exc_info=error)
    said = HeadstockError("an error that nobody foresaw", cure="Nothing was saved. Try again; tell whoever looks after this.")
    return with_headers(error_reply(request, said, 500))
