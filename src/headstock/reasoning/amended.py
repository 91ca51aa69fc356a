"""An order with changes made to it: what was added, left out, moved; each change can be taken back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from headstock.reasoning.step import Step

Line = Step | str


@dataclass(frozen=True, slots=True)
class Change:
    """One change: ``line`` is the line as written (0: added), ``before`` the one it now goes before (0: left out).

    One past the last line is the end.
    """

    kind: Literal["add", "leave out", "move"]
    step: Line
    line: int
    before: int


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of an amended order: ``origin`` is its line as written, 0 where it is added."""

    step: Line
    origin: int
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Amended:
    """An order as written, and as it stands now."""

    written: tuple[Line, ...]
    entries: tuple[Entry, ...]

    @classmethod
    def of(cls, order: Sequence[Line]) -> Amended:
        """Nothing changed yet."""
        return cls(tuple(order), tuple(Entry(step, line) for line, step in enumerate(order, start=1)))

    @property
    def cost(self) -> int:
        """How many changes were made."""
        kept = sum(entry.origin > 0 for entry in self.entries)
        return len(self.written) - kept + sum(entry.origin == 0 or entry.moved for entry in self.entries)

    def add(self, step: Step, at: int) -> Amended:
        """A new line before the entry numbered ``at`` (0 is the first)."""
        return Amended(self.written, (*self.entries[:at], Entry(step, 0), *self.entries[at:]))

    def leave_out(self, at: int) -> Amended:
        """The entry numbered ``at`` left out."""
        return Amended(self.written, (*self.entries[:at], *self.entries[at + 1 :]))

    def move(self, source: int, target: int) -> Amended:
        """The entry numbered ``source`` before what is now the entry numbered ``target``."""
        entry = self.entries[source]
        moved = Entry(entry.step, entry.origin, entry.origin > 0)
        rest = (*self.entries[:source], *self.entries[source + 1 :])
        at = target - (target > source)
        return Amended(self.written, (*rest[:at], moved, *rest[at:]))

    def changes(self) -> tuple[Change, ...]:
        """Every change in the order in which the lines come."""
        there = {entry.origin for entry in self.entries}
        found = [Change("leave out", step, line, 0) for line, step in enumerate(self.written, start=1) if line not in there]
        following = len(self.written) + 1
        for entry in reversed(self.entries):
            if entry.origin and not entry.moved:
                following = entry.origin
            else:
                found.append(Change("move" if entry.moved else "add", entry.step, entry.origin, following))
        # Those before the same line were met last first.
        found.reverse()
        return tuple(sorted(found, key=lambda change: change.before or change.line))

    def one_taken_back(self) -> Iterator[Amended]:
        """The same order with one change fewer, each change in turn."""
        for at, entry in enumerate(self.entries):
            if entry.moved:
                without = self.leave_out(at)
                yield without._with(Entry(entry.step, entry.origin))
            elif not entry.origin:
                yield self.leave_out(at)
        there = {entry.origin for entry in self.entries}
        for line, step in enumerate(self.written, start=1):
            if line not in there:
                yield self._with(Entry(step, line))

    def tidied(self) -> Amended:
        """A line left out and added again elsewhere is a line moved."""
        there = {entry.origin for entry in self.entries}
        left_out = [(line, step) for line, step in enumerate(self.written, start=1) if line not in there]
        entries = list(self.entries)
        for at, entry in enumerate(entries):
            again = next((item for item in left_out if not entry.origin and item[1] == entry.step), None)
            if again is not None:
                left_out.remove(again)
                entries[at] = Entry(entry.step, again[0], True)
        return Amended(self.written, tuple(entries))

    def _with(self, entry: Entry) -> Amended:
        """An entry back where it was written."""
        later = (at for at, other in enumerate(self.entries) if not other.moved and other.origin > entry.origin)
        at = next(later, len(self.entries))
        return Amended(self.written, (*self.entries[:at], entry, *self.entries[at:]))


def matched_up(written: Sequence[Line], kept: int, rest: Sequence[Step]) -> Amended:
    """The first ``kept`` lines as written, then a new order for the rest, in which lines as written are found again."""
    old = list(enumerate(written, start=1))[kept:]
    stays = _longest_common(old, rest)
    left = [(line, step) for line, step in old if line not in stays.values()]
    entries = [Entry(step, line) for line, step in list(enumerate(written, start=1))[:kept]]
    for place, step in enumerate(rest):
        if place in stays:
            entries.append(Entry(step, stays[place]))
            continue
        again = next((item for item in left if item[1] == step), None)
        if again is not None:
            left.remove(again)
        entries.append(Entry(step, again[0] if again else 0, again is not None))
    return Amended(tuple(written), tuple(entries))


def _longest_common(old: Sequence[tuple[int, Line]], new: Sequence[Step]) -> dict[int, int]:
    """Places of the new order with the lines as written that stay in their order, as many as can."""
    best = [[0] * (len(new) + 1) for _ in range(len(old) + 1)]
    for i in range(len(old) - 1, -1, -1):
        for j in range(len(new) - 1, -1, -1):
            same = best[i + 1][j + 1] + 1 if old[i][1] == new[j] else 0
            best[i][j] = max(same, best[i + 1][j], best[i][j + 1])
    found: dict[int, int] = {}
    i = j = 0
    while i < len(old) and j < len(new):
        if old[i][1] == new[j] and best[i][j] == best[i + 1][j + 1] + 1:
            found[j] = old[i][0]
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    return found
