"""What use cases ask of records: append, find, search, verify. The floor of records answers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

KINDS = (
    "job", "test", "touch", "defect", "isolation", "sheet", "correction", "sitting", "paper", "competence", "person",
    "unit type", "event", "audit",
)  # fmt: skip
"""What an entry can be; `key` is added by the records themselves. `audit`: who saw or did what, found only when asked for;
`person`: somebody was taken off the lists."""


@dataclass(frozen=True, slots=True)
class Draft:
    """Something to be recorded. ``key`` is made by whoever sends it: the same key again adds nothing.

    ``at``: when it was, `YYYY-MM-DD HH:MM:SS` on the clock of the place; ``terms``: the words by which it is found;
    ``body``: plain values, figures as text.
    """

    kind: str
    key: str
    at: str
    terms: tuple[str, ...]
    body: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Filed:
    """An entry on record: its place in the chain, short code, hash (hex); ``is_new``: whether this very call added it."""

    seq: int
    code: str
    hash: str
    signature: str
    recorded_at: str
    clock_behind_s: int
    draft: Draft
    is_new: bool = False


@dataclass(frozen=True, slots=True)
class Search:
    """Words that all occur (`21*`: a beginning), words of which one does, a kind, days from and to (`YYYY-MM-DD`), so many."""

    words: tuple[str, ...] = ()
    kind: str = ""
    from_day: str = ""
    to_day: str = ""
    top: int = 50
    any_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ChainVerdict:
    """Whether all entries are as they were written. ``fault``: what is wrong with the first that is not, ``seq`` its number."""

    entries: int
    head: str
    fault: str = ""
    seq: int = 0


class Records(Protocol):
    """An append-only store. All raise StorageError where it cannot be read or written."""

    def append(self, drafts: Sequence[Draft]) -> tuple[Filed, ...]:
        """Record all or none, durable on return. Raises InputError for a key that holds something else already."""

    def named(self, name: str) -> Filed | None:
        """The entry with this short code, key or number."""

    def search(self, wanted: Search) -> tuple[Filed, ...]:
        """Entries, newest first."""

    def every(self) -> Iterator[Filed]:
        """All entries in their order, as of one moment."""

    def unsafe_because(self) -> str:
        """Why what is acknowledged may yet be lost; "" where the database syncs each commit."""

    def verify(self, key: Any = None, tell: Callable[[int], None] | None = None) -> ChainVerdict:
        """Whether every entry is as it was written; ``tell`` hears how many were looked at. Raises InputError without a key."""
