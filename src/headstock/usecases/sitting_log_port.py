"""What a sitting needs to be kept: its exercise, and each event as it happens, durable before anybody is told of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol


@dataclass(frozen=True, slots=True)
class KeptSitting:
    """A sitting as kept: its code, the name of its exercise, when it began, its events, the last time its clock showed [s]."""

    code: str
    exercise: str
    began: str
    events: tuple[Mapping[str, Any], ...]
    clock_s: float


class SittingLog(Protocol):
    """Sittings by their short codes. All raise StorageError where nothing can be read or written."""

    def begin(self, code: str, exercise: str, began: str, *events: Mapping[str, Any]) -> None:
        """A new sitting with its first events, all or nothing. Raises InputError for a code that is there already."""

    def add(self, code: str, event: Mapping[str, Any]) -> None:
        """One event more, durable on return."""

    def mark_clock(self, code: str, t_s: float) -> None:
        """How far the clock is; may be lost by the last second or so."""

    def kept(self, code: str) -> KeptSitting | None:
        """A sitting as it was kept."""

    def unname(self, code: str, person: str, instead: str) -> bool:
        """Write another name wherever a sitting has somebody's; whether it had."""

    def codes(self) -> Sequence[str]:
        """All sittings, newest first."""
