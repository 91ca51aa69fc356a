"""When sign-offs lapse, as iCalendar (RFC 5545): an event on the last day of each, the same whenever it is fetched."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Final

from headstock.usecases.competence_now import NOT_MAY, CompetenceNow
from headstock.usecases.moments import kept_day

WIDEST: Final = 75
"""Octets of a line without its end (RFC 5545, 3.1)."""
MADE_BY: Final = "-//Headstock//Competence//EN"


def lapses_calendar(held: Iterable[CompetenceNow]) -> bytes:
    """Sign-offs that are in date or yet to begin; others have nothing to come."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{MADE_BY}", "CALSCALE:GREGORIAN"]
    for one in held:
        if one.state in ("in date", "not yet"):
            lines += _event(one)
    lines.append("END:VCALENDAR")
    return b"".join(folded(line) for line in lines)


def folded(line: str) -> bytes:
    """A line and its end, broken so that no piece is too wide and no sign is torn."""
    pieces, piece = [], b""
    for sign in line:
        octets = sign.encode("utf-8")
        if len(piece) + len(octets) > WIDEST:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece]) + b"\r\n"


def _event(one: CompetenceNow) -> Iterator[str]:
    body = one.filed.draft.body
    last = kept_day(str(body["until"]))
    after = last + timedelta(days=1) if last < date.max else last
    stamp = datetime.fromisoformat(one.filed.recorded_at).astimezone(UTC)
    units = " with ".join(str(unit) for unit in body["units"])
    summary = f"Last day of sign-off: {body['person']}, {body['role']}"
    more = f"{units} at {body['place']}, signed by {body['who']}, entry {one.filed.code}. {NOT_MAY}"
    yield "BEGIN:VEVENT"
    yield f"UID:{one.filed.hash}@headstock.invalid"
    yield f"DTSTAMP:{stamp:%Y%m%dT%H%M%SZ}"
    yield f"DTSTART;VALUE=DATE:{_plain_day(last)}"
    yield f"DTEND;VALUE=DATE:{_plain_day(after)}"
    yield f"SUMMARY:{_text(summary)}"
    yield f"DESCRIPTION:{_text(more)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _plain_day(day: date) -> str:
    return day.isoformat().replace("-", "")


def _text(words: str) -> str:
    """A text as its value is written: marked signs, no control signs (RFC 5545, 3.3.11)."""
    plain = words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\r\n", "\n").replace("\n", "\\n")
    return "".join(sign for sign in plain if sign >= " " and sign != "\x7f")
