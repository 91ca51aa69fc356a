"""Signing in and out, and one's own password. On this computer alone there is nobody to sign in."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import Fault, InputError
from headstock.usecases.accounts_port import Accounts, NotSignedIn
from headstock.web.replies import page
from headstock.web.routes.house import way_back
from headstock.web.signing_in import accounts_of, address_of_request, cookie_name, give_cookie, token_of
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)
Secret = Annotated[str, Form(max_length=1000)]
Back = Annotated[str, Form(max_length=300)]


def _accounts(request: Request) -> Accounts:
    """Raises InputError where nobody signs in."""
    found = accounts_of(request)
    if found is None:
        raise InputError(Fault("nobody signs in on this computer alone"), cure="All pages are open to whoever sits at it.")
    return found


@router.get("/sign-in", dependencies=[needs("look")])
def sign_in_page(request: Request, back: str = "/") -> Response:
    """Name and password."""
    _accounts(request)
    return page(request, "sign_in.html", back=way_back(back), said="")


@router.post("/sign-in", dependencies=[needs("look")])
def sign_in(
    request: Request, name: Annotated[str, Form(max_length=200)], password: Secret, back: Back = "/"
) -> Response:  # fmt: skip
    """A session, or the one answer for whatever was wrong."""
    found = _accounts(request).sign_in(name, password, address_of_request(request), token_of(request))
    if isinstance(found, NotSignedIn):
        return page(request, "sign_in.html", 429 if found.wait_s else 403, back=way_back(back), said=found.words)
    answer = RedirectResponse(way_back(back), 303)
    give_cookie(request, answer, found.token)
    return answer


@router.post("/sign-out", dependencies=[needs("look")])
def sign_out(request: Request) -> Response:
    """The session is over."""
    _accounts(request).sign_out(token_of(request))
    answer = RedirectResponse("/sign-in", 303)
    answer.delete_cookie(cookie_name(request), path="/", secure=request.url.scheme == "https", httponly=True, samesite="strict")
    return answer


@router.get("/own-password", dependencies=[needs("change own password")])
def own_password_page(request: Request) -> Response:
    """One's own password."""
    _accounts(request)
    return page(request, "own_password.html", said="")


@router.post("/own-password", dependencies=[needs("change own password")])
def own_password(request: Request, old: Secret, new: Secret) -> Response:
    """Change it; every session of the account ends."""
    try:
        refused = _accounts(request).change_own_password(token_of(request), old, new, address_of_request(request))
    except InputError as error:
        return page(request, "own_password.html", 400, said=error.what)
    if refused is not None:
        return page(request, "own_password.html", 403, said=refused.words)
    return RedirectResponse("/sign-in", 303)
