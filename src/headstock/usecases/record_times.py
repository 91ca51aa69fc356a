"""Times of a record on one clock [s]; clocks that differ, and times that run backwards, are refused with their line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime

from headstock.base.errors import Fault
from headstock.base.located import Document, DocumentPath, path_text

TIME = re.compile(r"(?:(\d{4}-\d\d-\d\d)[ T])?([0-2]\d):([0-5]\d)(?::([0-5]\d))?", re.ASCII)
EXPECTED = "HH:MM:SS, HH:MM or YYYY-MM-DD HH:MM:SS, in quotes"
A_MINUTE_S = 60.0


class RecordTimes:
    """Reads times, and gathers what is wrong with them."""

    def __init__(self, document: Document, clocks: Mapping[str, float]) -> None:
        self.document, self.clocks = document, clocks
        self.faults: list[Fault] = []
        self._first: tuple[bool, bool] | None = None
        self._names: list[str] = []

    def fault(self, what: str, path: DocumentPath, found: str | None, expected: str) -> None:
        """Note a fault at a place of the file."""
        self.faults.append(Fault(what, self.document.name, self.document.line_of(path), path_text(path), found, expected))

    def seconds(self, text: str, path: DocumentPath, clock: str | None) -> tuple[float, float]:
        """Seconds on the one clock, and how long the moment may last [s]; (0, 1) for what cannot be read."""
        form = TIME.fullmatch(text)
        if form is None or int(form[2]) > 23 or not _is_day(form[1]):
            self.fault("time not understood", path, text, EXPECTED)
            return 0.0, 1.0
        kind = (form[1] is not None, clock is not None)
        if self._first is None:
            self._first = kind
        if kind[0] != self._first[0]:
            self.fault("clocks mixed: some times have a date, others none", path, text, "a date at all times, or at none")
        if kind[1] != self._first[1]:
            self.fault("clocks mixed: some lines name a clock, others none", path, clock or "no clock",
                       "the clock on every line, or on none")  # fmt: skip
        self._check_clock(path, clock)
        day_s = datetime.fromisoformat(form[1]).toordinal() * 86400.0 if form[1] else 0.0
        at_s = day_s + int(form[2]) * 3600.0 + int(form[3]) * 60.0 + int(form[4] or 0)
        return at_s + self.clocks.get(clock or "", 0.0), A_MINUTE_S if form[4] is None else 1.0

    def _check_clock(self, path: DocumentPath, clock: str | None) -> None:
        if clock is None:
            return
        if clock not in self._names:
            self._names.append(clock)
        if len(self._names) > 1 and clock not in self.clocks:
            self.fault(
                "clocks mixed: nobody says how far this one is off", path, clock, f"seconds to add to {clock} under clocks"
            )

    def check_order(self, times_s: list[tuple[float, float]], name: str) -> None:
        """Times must not run backwards."""
        for number in range(1, len(times_s)):
            (before_s, _), (here_s, within_s) = times_s[number - 1], times_s[number]
            if here_s + within_s <= before_s:
                self.fault("out of order: earlier than the line before", (name, number, "time"), None,
                           "lines in order of time; over midnight times with their date")  # fmt: skip


def _is_day(text: str | None) -> bool:
    """Whether the calendar has it; a time may do without."""
    try:
        return text is None or bool(datetime.fromisoformat(text))
    except ValueError:
        return False
