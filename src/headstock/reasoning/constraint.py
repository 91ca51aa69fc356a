"""Constraints: what may never be so, judged on the state alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

State = Mapping[str, str]
"""Named values of all variables, people's places among them (``at/ROLE``)."""


@dataclass(frozen=True, slots=True)
class Constraint:
    """A rule over states. ``broken`` returns what is wrong, in words, or None."""

    key: str
    text: str
    hurts: str
    broken: Callable[[State], str | None]


def place_key(role: str) -> str:
    """The variable that says where a role stands."""
    return f"at/{role}"
