"""What belongs to every page: the theme, the keys, being alive."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse

from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)


@router.post("/theme", dependencies=[needs("look")])
def theme(
    request: Request, theme: Annotated[Literal["night", "paper"], Form()], back: Annotated[str, Form(max_length=200)] = "/"
) -> Response:
    """Night or paper, kept in this browser."""
    answer = RedirectResponse(way_back(back), 303)
    answer.set_cookie("theme", theme, max_age=400 * 86400, samesite="lax", httponly=True, secure=request.url.scheme == "https")
    return answer


def way_back(back: str) -> str:
    """A page of this server to go back to; the first one where it leads elsewhere."""
    return back if back.startswith("/") and not back.startswith(("//", "/\\")) and back.isprintable() else "/"


@router.get("/keys", dependencies=[needs("look")])
def keys(request: Request) -> Response:
    """All keys."""
    return page(request, "keys.html")


@router.get("/alive", dependencies=[needs("look")])
def alive() -> Response:
    """For whoever watches the server."""
    return Response("alive", media_type="text/plain")
