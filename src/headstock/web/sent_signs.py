"""One rule for whatever is sent to be kept: no NUL in it. PostgreSQL takes that sign into no text, so no records do."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final

from fastapi import HTTPException, Request

from headstock.base.errors import Fault, InputError
from headstock.web.statuses import NOT_ACCEPTED, SAFE_METHODS, WithStatus

NO_SIGN: Final = "\0"
MARKS: Final = (b"\0", b"\\u0000")
"""Without one of them no JSON holds that sign: it stands there itself, or as the only escape there is for it (RFC 8259, 7)."""
MOST_FIELDS: Final = 2000
"""Of one form: a long train has several for each unit."""
SECRET: Final = ("password", "old", "new")
"""Fields that are shown to nobody, not even to whoever sent them."""
AROUND, MOST_FAULTS, MOST_STEPS = 20, 20, 12
HOLDS_TEXT: Final = (str, dict, list)
CURE: Final = "Nothing was kept. Take that sign out and send it again."
SAID: Final = "a sign that no text can hold (NUL)"
_Trail = tuple[Any, ...]
"""The way to a value: the way to what holds it, and its name there; empty for the whole."""


@dataclass(frozen=True, slots=True)
class Sent:
    """A form as it was sent, without signs that no text can hold; ``had_sign``: there was one."""

    fields: tuple[tuple[str, str], ...]
    had_sign: bool


async def must_be_text(request: Request) -> None:
    """Raises WithStatus, with every place, where what is sent holds such a sign; a form comes back to be sent without it."""
    if request.method in SAFE_METHODS:
        return
    if "form" in request.headers.get("content-type", ""):
        faults = await _form_faults(request)
    else:
        faults, body = [], await request.body()
        if any(mark in body for mark in MARKS):  # hardly ever: else every body would be read twice over
            with contextlib.suppress(ValueError, RecursionError):  # what is no JSON is refused where it is read
                faults = sign_faults(await request.json())
    if faults:
        raise WithStatus(NOT_ACCEPTED, InputError(faults, cure=CURE))


async def keep_form(request: Request) -> None:
    """Keep a form for a page that says why nothing came of it, where nobody gets on to what would read it."""
    if request.method not in SAFE_METHODS and "form" in request.headers.get("content-type", ""):
        with contextlib.suppress(HTTPException):
            await _form_faults(request)


async def _form_faults(request: Request) -> list[Fault]:
    """Those of a form, which is kept for a page that lets it be sent again; never a password, and no file can be."""
    form = await request.form(max_fields=MOST_FIELDS)
    fields = [(name, one if isinstance(one, str) else one.filename or "") for name, one in form.multi_items()]
    faults = [fault for name, text in fields for fault in sign_faults({name: text})]
    has_file = not all(isinstance(one, str) for _, one in form.multi_items())
    if fields and not has_file and not any(name in SECRET for name, _ in fields):
        plain = tuple((name.replace(NO_SIGN, ""), text.replace(NO_SIGN, "")) for name, text in fields)
        request.state.sent = Sent(plain, bool(faults))
    return faults


def sign_faults(values: Any) -> list[Fault]:
    """A fault for each text among plain values, however deep, that holds such a sign; of very many the first."""
    found = ((trail, text) for trail, text in _texts(values) if NO_SIGN in text)
    return [_fault(_path(trail), text) for trail, text in islice(found, MOST_FAULTS)]


def _texts(values: Any) -> Iterator[tuple[_Trail, str]]:
    """Every text, names of fields too. A trail is written out only where it is needed: there may be a million of them."""
    waiting: list[tuple[_Trail, Any]] = [((), values)]
    while waiting:
        trail, one = waiting.pop()
        if isinstance(one, str):
            yield trail, one
        elif isinstance(one, dict):
            yield from (((trail, name), name) for name in one)
            waiting += [((trail, name), part) for name, part in reversed(one.items()) if isinstance(part, HOLDS_TEXT)]
        elif isinstance(one, list):
            waiting += [((trail, at), one[at]) for at in reversed(range(len(one))) if isinstance(one[at], HOLDS_TEXT)]


def _path(trail: _Trail) -> str:
    """The way to a text, as faults of forms write it; of a very long one its end."""
    steps: list[str] = []
    while trail and len(steps) < MOST_STEPS:
        trail, step = trail
        steps.append(str(step))
    return ".".join(reversed(steps))


def _fault(path: str, text: str) -> Fault:
    """Where it stands: the field, in a long text the line, and what is around it unless it is secret."""
    at = text.index(NO_SIGN)
    line = f", in line {text.count(chr(10), 0, at) + 1}" if "\n" in text else ""
    found = None if path in SECRET else text[max(0, at - AROUND) : at + AROUND].replace("\n", " ")
    return Fault(SAID + line, path=path, found=found, expected="text")
