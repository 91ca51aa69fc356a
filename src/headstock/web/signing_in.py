"""Whose request is it: the session behind the cookie, the sign-in page for everybody else, and a trace of what was done."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Final
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.requests import HTTPConnection
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, InputError, StorageError
from headstock.usecases.accounts_port import Accounts, Session, Trace
from headstock.web.guards import with_headers
from headstock.web.replies import error_reply
from headstock.web.sent_signs import keep_form
from headstock.web.statuses import SAFE_METHODS
from headstock.web.visitor import Visitor

OPEN: Final = ("/sign-in", "/static/", "/alive", "/service-worker.js")
"""What anybody may ask for."""
SEEN: Final = ("see records", "print a certificate", "export records", "see a class", "see everybody's competence",
               "see who saw and did what")  # fmt: skip
"""Acts of which a trace is left though they change nothing."""
Following = Callable[[Request], Awaitable[Response]]


def cookie_name(connection: HTTPConnection) -> str:
    """Over an encrypted way the name binds the cookie to this very host."""
    return "__Host-headstock" if connection.url.scheme in ("https", "wss") else "headstock"


def token_of(connection: HTTPConnection) -> str:
    """What the browser holds; empty without."""
    return connection.cookies.get(cookie_name(connection), "")


def accounts_of(connection: HTTPConnection) -> Accounts | None:
    """The accounts, where one has to sign in."""
    found: Accounts | None = connection.app.state.accounts
    return found


def give_cookie(request: Request, answer: Response, token: str) -> None:
    """The session's token, which no script can read and no other site can send."""
    answer.set_cookie(cookie_name(request), token, path="/", httponly=True, samesite="strict",
                      secure=request.url.scheme == "https")  # fmt: skip


def address_of_request(connection: HTTPConnection) -> str:
    """From where it comes, as limits and traces write it."""
    return connection.client.host if connection.client is not None else ""


async def signed_in(request: Request, following: Following) -> Response:
    """Let through who is signed in; bring others to the sign-in page."""
    accounts = accounts_of(request)
    if accounts is None:
        return await following(request)
    try:
        session = await asyncio.to_thread(accounts.session_of, token_of(request)) if token_of(request) else None
    except StorageError as error:
        await keep_form(request)
        return with_headers(error_reply(request, error))
    if session is None and not request.url.path.startswith(OPEN):
        return with_headers(_to_the_door(request))
    if session is None:
        return await following(request)
    if request.method not in SAFE_METHODS and not _says_whence(request):
        fault = Fault("whence it was sent is not said", found="no Origin", expected="a browser of this age")
        return with_headers(error_reply(request, InputError(fault), 403))
    request.state.session = session
    request.state.visitor = Visitor(session.account.person, session.account.role)
    answer = await following(request)
    await _trace(request, answer, accounts, session)
    return answer


def _says_whence(request: Request) -> bool:
    """With a session at stake silence about the origin is not enough; what is said was looked at before."""
    return "origin" in request.headers or "sec-fetch-site" in request.headers


def _to_the_door(request: Request) -> Response:
    is_page = request.method == "GET" and not request.url.path.startswith("/api/") and request.headers.get("hx-request") is None
    if not is_page:
        return error_reply(request, InputError(Fault("nobody is signed in", found=request.url.path), cure="Sign in first."), 401)
    return RedirectResponse(f"/sign-in?back={quote(request.url.path)}", 303)


async def _trace(request: Request, answer: Response, accounts: Accounts, session: Session) -> None:
    """What was done, and what was seen of what is looked after; refusals too."""
    act: str = getattr(request.state, "act", "")
    is_refused = answer.status_code == 403
    if not act or act == "look" or (request.method in SAFE_METHODS and act not in SEEN and not is_refused):
        return
    outcome = "refused" if is_refused else "done" if answer.status_code < 400 else "not done"
    place = request.url.path.replace("\0", "%00")  # as it was sent: no record holds that sign
    trace = Trace(session.account.name, act, place, address_of_request(request), outcome)
    await asyncio.to_thread(accounts.leave_trace, trace)


def visitor_of_socket(connection: HTTPConnection) -> Visitor | None:
    """Who opened a live connection; None: nobody who is signed in, where one has to be."""
    accounts = accounts_of(connection)
    if accounts is None:
        return Visitor()
    session = accounts.session_of(token_of(connection)) if token_of(connection) else None
    return None if session is None else Visitor(session.account.person, session.account.role)
