"""What keeps pages of a test usable without a connection: the worker that keeps them on the phone."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from fastapi import APIRouter, Request, Response

from headstock.web.replies import page
from headstock.web.visitor import needs

router = APIRouter(include_in_schema=False)
STATIC = Path(__file__).parent.parent / "static"
SHELL = (
    "css/house.css", "css/test.css", "css/mark.svg", "css/teeth.svg", "js/house.js", "js/test.js", "js/queue.js", "js/away.js",
    "vendor/htmx.min.js", "vendor/atkinson-hyperlegible-next.woff2", "vendor/b612-400.woff2", "vendor/b612-700.woff2",
)  # fmt: skip
"""What is kept on a phone for the pages of a test."""


@cache
def _worker() -> str:
    """The worker with the list of what it keeps, named by what is in it."""
    text = (STATIC / "js" / "service-worker.js").read_text(encoding="utf-8")
    content = hashlib.sha256(text.encode())
    for name in SHELL:
        content.update((STATIC / name).read_bytes())
    listed = ", ".join(f'"/static/{name}"' for name in SHELL)
    return text.replace("SHELL_NAME", content.hexdigest()[:12]).replace("/* SHELL_LIST */", listed)


@router.get("/service-worker.js", dependencies=[needs("look")])
def service_worker() -> Response:
    """The worker; from the root, so that it may answer for every page."""
    return Response(_worker(), media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@router.get("/not-kept", dependencies=[needs("look")])
def not_kept(request: Request) -> Response:
    """What the worker shows for a page that was never opened on this phone."""
    return page(request, "not_kept.html")
