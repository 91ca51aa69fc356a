"""Who looks, and what they may do. On loopback without accounts there is one person, who may do everything."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fastapi import Depends, HTTPException, Request

from headstock.web.sent_signs import must_be_text


@dataclass(frozen=True, slots=True)
class Visitor:
    """Name and role of whoever is signed in; both empty for the one person of a machine."""

    name: str = ""
    role: str = ""


def visitor_of(request: Request) -> Visitor:
    """Who sent this request."""
    found: Visitor = getattr(request.state, "visitor", Visitor())
    return found


def needs(act: str, each_by_itself: bool = False) -> Any:
    """A dependency: only somebody who may do this act gets on, and with text alone. Every route names one.

    ``each_by_itself``: the route looks at each part of what is sent, so that one that is refused holds up no other.
    """

    async def allowed(request: Request) -> None:
        request.state.act = act
        may: Callable[[Visitor, str], bool] = request.app.state.may
        if not may(visitor_of(request), act):
            raise HTTPException(403, f"your role may not {act}")
        if not each_by_itself:
            await must_be_text(request)

    allowed.act = act  # type: ignore[attr-defined]
    return Depends(allowed)
