"""What stands before every route: hosts, origins, size of what is sent, and the headers of every answer."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import SplitResult, urlsplit

from fastapi import Request, Response
from fastapi.requests import HTTPConnection

from headstock.base.errors import Fault, InputError
from headstock.web.replies import error_reply
from headstock.web.statuses import SAFE_METHODS

MOST_BYTES = 2_000_000
"""The longest body that is read."""
NOT_READ = "Nothing of it was read or kept."
INSTEAD = "See that it is the right file: no job, unit type or readings are nearly so long. Send a long list in parts."
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
Following = Callable[[Request], Awaitable[Response]]


async def guard(request: Request, following: Following) -> Response:
    """Refuse what comes from elsewhere or is too long; add the headers."""
    refused = _refusal(request)
    answer = error_reply(request, refused[1], refused[0]) if refused is not None else await following(request)
    return with_headers(answer)


def with_headers(answer: Response) -> Response:
    """An answer with what every answer carries."""
    for name, value in HEADERS.items():
        answer.headers.setdefault(name, value)
    if "Cache-Control" not in answer.headers:
        answer.headers["Cache-Control"] = "no-store"
    return answer


def _refusal(request: Request) -> tuple[int, InputError] | None:
    """The status and the reason, where it is refused."""
    host = request.headers.get("host", "")
    if not is_known_host(request):
        return 403, InputError(Fault("asked for under another name", found=host, expected=" or ".join(request.app.state.hosts)))
    if request.method in SAFE_METHODS:
        return None
    length = request.headers.get("content-length", "")
    if not _is_read(request, length):
        return 413, _too_long(request, length)
    if not is_own_origin(request):
        return 403, InputError(
            Fault("sent from another site", found=request.headers.get("origin", "no origin"), expected="this one")
        )
    return None


def _too_long(request: Request, length: str) -> InputError:
    """The limit, and what to do instead."""
    at_most = f"at most {MOST_BYTES // 1_000_000} MB ({MOST_BYTES:,} bytes)"
    if "transfer-encoding" in request.headers or not length.isdecimal():
        fault = Fault("sent without its length", found="a body in pieces" if not length else f"{length[:20]!r}", expected=at_most)
        return InputError(fault, cure=f"{NOT_READ} Send it in one piece, with Content-Length before it, as browsers do.")
    found = f"{int(length):,} bytes" if len(length) <= 20 else f"{len(length)} figures"
    return InputError(Fault("too long to be read", found=found, expected=at_most), cure=f"{NOT_READ} {INSTEAD}")


def _is_read(request: Request, length: str) -> bool:
    """Whether the body is short enough by its length. One in pieces is as long as its pieces, whatever is said besides."""
    is_in_pieces = "transfer-encoding" in request.headers
    return not is_in_pieces and length.isdecimal() and len(length) <= len(str(MOST_BYTES)) and int(length) <= MOST_BYTES


def is_own_origin(request: HTTPConnection) -> bool:
    """Whether a page of this very server sent it. Browsers say so; a program that says nothing carries no cookies either."""
    where = request.headers.get("sec-fetch-site")
    origin = request.headers.get("origin")
    if origin is not None and origin != "null":
        split = _split(origin)
        return split is not None and split.netloc == request.headers.get("host", "")
    return origin is None and where in (None, "same-origin", "none")


def is_known_host(request: HTTPConnection) -> bool:
    """Whether it was asked for under a name of this server: against names that somebody else points at this machine."""
    hosts: tuple[str, ...] = request.app.state.hosts
    split = _split(f"//{request.headers.get('host', '')}")
    return split is not None and (split.hostname in hosts or "*" in hosts)


def _split(address: str) -> SplitResult | None:
    """The parts of an address; None for what is none."""
    try:
        return urlsplit(address)
    except ValueError:
        return None
