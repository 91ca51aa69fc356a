"""Who looks, and what they may do. On loopback without accounts there is one person, who may do everything."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from fastapi import Depends, HTTPException, Request


@dataclass(frozen=True, slots=True)
class Visitor:
    """Name and role of whoever is signed in; both empty for the one person of a machine."""

    name: str = ""
    role: str = ""


def visitor_of(request: Request) -> Visitor:
    """Who sent this request."""
    found: Visitor = getattr(request.state, "visitor", Visitor())
    return found


def needs(act: str) -> Any:
    """A dependency: only somebody who may do this act gets on. Every route names one."""

    def allowed(request: Request) -> None:
        request.state.act = act
        may: Callable[[Visitor, str], bool] = request.app.state.may
        if not may(visitor_of(request), act):
            raise HTTPException(403, f"your role may not {act}")

    allowed.act = act  # type: ignore[attr-defined]
    return Depends(allowed)
