"""Moments on the clock of a place: `YYYY-MM-DD HH:MM:SS`, as seconds [s] since day 0 and back."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from headstock.base.errors import Fault, InputError

A_DAY_S = 86400.0
EARLIEST_S = 700_000 * A_DAY_S
"""Times without a date stand on day 0; no test is older than this."""
FARTHEST_AHEAD_S = 14 * 3600.0
"""No clock on earth is farther ahead of universal time (common practice, no source)."""


def moment_text(when_s: float) -> str:
    """A moment as it is written."""
    day, rest_s = divmod(when_s, A_DAY_S)
    return str(datetime.fromordinal(int(day)) + timedelta(seconds=int(rest_s)))


def moment_s(text: str, option: str = "") -> float:
    """A moment [s]. Raises InputError."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.tzinfo is not None or len(text) < len("2026-01-01 10:00"):
        raise InputError(Fault("time not understood", path=option, found=text, expected="YYYY-MM-DD HH:MM:SS"))
    return found.toordinal() * A_DAY_S + found.hour * 3600.0 + found.minute * 60.0 + found.second


def day_s(text: str, option: str = "") -> float:
    """The beginning of a day [s]. Raises InputError."""
    try:
        day = kept_day(text)
    except ValueError:
        day = None
    if day is None or day.isoformat() != text:  # days are compared as text: 2026-1-2 would come after 2026-10-01
        raise InputError(Fault("day not understood", path=option, found=text, expected="YYYY-MM-DD"))
    return day.toordinal() * A_DAY_S


def kept_day(text: str) -> date:
    """A day that is on record; zeros may lack in earlier ones. Raises ValueError."""
    return datetime.strptime(text, "%Y-%m-%d").date()


def latest_anywhere_s() -> float:
    """No clock of any place shows more than this now [s]."""
    now = datetime.now(UTC)
    return now.toordinal() * A_DAY_S + now.hour * 3600.0 + now.minute * 60.0 + now.second + FARTHEST_AHEAD_S
