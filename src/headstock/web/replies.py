"""How every route answers: a page from a template, or one error shape, as a page or as JSON."""

from __future__ import annotations

import json
import logging
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from headstock.base.errors import HeadstockError, StorageError
from headstock.devices.key_words import device_in_words
from headstock.local_rules.limit_figures import in_unit
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.web.sent_signs import Sent
from headstock.web.visitor import visitor_of

LOG = logging.getLogger("headstock.web")
HERE = Path(__file__).parent
THEMES = ("night", "paper")
STATUS = {2: 400, 3: 503}
"""Exit status of an error on the command line, as a status of the web."""
STATUS_OF_CODE = {"outside-model": 422}
"""Where asking again will never help."""
HEADINGS = (
    ("This turn", "/", ("/jobs",)),
    ("Fleet", "/fleet", ()),
    ("Records", "/records", ()),
    ("Exercise", "/exercises", ("/sittings", "/papers")),
    ("People", "/people", ()),
)
"""Pages that the navigation names: name, address, addresses that belong to it."""
PAGES = Environment(
    loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
)
PAGES.filters["device"] = device_in_words
PAGES.filters["in_unit"] = in_unit


def as_seen(error: HeadstockError) -> HeadstockError:
    """An error for whoever looks at a page. Of records it says neither host nor user nor folder: the server's log has them."""
    if not isinstance(error, StorageError):
        return error
    LOG.error("%s", error.text().replace("\n", " "))
    return error.for_others()


def page(request: Request, template: str, status: int = 200, **content: Any) -> HTMLResponse:
    """A page, or a part of one, from a template."""
    if isinstance(content.get("error"), HeadstockError):
        content["error"] = as_seen(content["error"])
    theme = request.cookies.get("theme", "")
    content = {
        "path": request.url.path, "headings": HEADINGS, "here": heading_of(request.url.path),
        "theme": theme if theme in THEMES else THEMES[0], "visitor": visitor_of(request),
        "standing_caution": STANDING_CAUTION, "version": request.app.version, **content,
    }  # fmt: skip
    return HTMLResponse(PAGES.get_template(template).render(content), status)


def heading_of(path: str) -> str:
    """The heading of the navigation that a page belongs to; empty for none."""
    for name, place, others in HEADINGS:
        places = (place, *others)
        if path in places or path.startswith(tuple(f"{one}/" for one in places if one != "/")):
            return name
    return ""


def part(template: str, **content: Any) -> Markup:
    """A part of a page, to stand in another."""
    return Markup(PAGES.get_template(template).render(content))


def json_reply(value: Any, status: int = 200, headers: dict[str, str] | None = None) -> Response:
    """Plain values as JSON; half a sign, which somebody may send and no text can hold, becomes a question mark."""
    content = json.dumps(value, ensure_ascii=False, allow_nan=False).encode("utf-8", "replace")
    return Response(content, status, headers, media_type="application/json")


@dataclass(frozen=True, slots=True)
class Again:
    """A button that asks the same once more, with the fields of a form that was sent; none: a page that was asked for."""

    words: str
    fields: tuple[tuple[str, str], ...] = ()


def is_part(request: Request) -> bool:
    """Whether a page that is open asks for a part of itself."""
    return request.headers.get("hx-request") == "true"


def error_reply(request: Request, error: HeadstockError, status: int | None = None) -> Response:
    """An error as a page; under /api, or where JSON is asked for, as JSON of the same shape as the command line's."""
    code = status or STATUS_OF_CODE.get(error.code) or STATUS.get(error.exit_status, 500)
    if request.url.path.startswith("/api/") or "application/json" in request.headers.get("accept", ""):
        return json_reply(as_seen(error).as_json(), code)
    template = "error_part.html" if is_part(request) else "error.html"
    return page(request, template, code, error=error, heading=_heading(code, error), asked=_asked(request),
                again=again_of(request, code))  # fmt: skip


def _asked(request: Request) -> str:
    """The place that was asked for, with what stood behind it."""
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def again_of(request: Request, code: int) -> Again | None:
    """How to ask the same once more, where that may help: now that it was not possible, or without a sign that no text holds."""
    sent: Sent | None = getattr(request.state, "sent", None)
    if sent is not None and (code == 503 or sent.had_sign):
        return Again("Send it without that sign" if sent.had_sign else "Send it again", sent.fields)
    return Again("Try again") if code == 503 and request.method == "GET" and not is_part(request) else None


def _heading(code: int, error: HeadstockError) -> str:
    if code == 400 and error.what.startswith("no such"):
        code = 404
    return {403: "Not for you", 404: "Nothing here", 413: "Too long", 503: "Not now"}.get(
        code, "Not understood" if code < 500 else "Something broke here"
    )
