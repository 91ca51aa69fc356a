"""When sign-offs lapse, as iCalendar: its lines, its events, read back by rule and not by our own code."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from headstock.exchange.lapses_calendar import folded, lapses_calendar
from headstock.usecases.competence_now import CompetenceNow
from headstock.usecases.records_port import Draft, Filed

BODY = {"person": "Åse Tølk; the younger, called \\Ö\\", "role": "shunter", "units": ["tarn", "kestle"], "place": "Harrow Ings",
        "since": "2026-01-10", "until": "2026-12-31", "who": "M. Iden\nsecond line"}  # fmt: skip
FILED = Filed(7, "ABCD-EFGH-JKMN", "ab" * 32, "", "2026-01-10T11:59:58.123+00:00", 0, Draft("competence", "k", "", (), BODY))
HELD = CompetenceNow(FILED, "in date", 40)


def _unfolded(content: bytes) -> list[str]:
    return re.sub(rb"\r\n[ \t]", b"", content).decode("utf-8").removesuffix("\r\n").split("\r\n")


@pytest.mark.outside(source="RFC 5545", clause="3.1 content lines", status="read")
def test_lines_end_in_crlf_are_no_longer_than_75_octets_and_unfold_to_what_they_were() -> None:
    content = lapses_calendar([HELD])
    assert content.endswith(b"\r\n") and b"\n" not in content.replace(b"\r\n", b"") and b"\r" not in content.replace(b"\r\n", b"")
    assert max(map(len, content.split(b"\r\n"))) <= 75 and b"\r\n " in content
    for line in ("SUMMARY:" + "ö" * 200, "SUMMARY:" + "x" * 67, "SUMMARY:" + "x" * 68, "SUMMARY:" + "\U0001f682" * 40):
        pieces = folded(line).removesuffix(b"\r\n").split(b"\r\n")
        assert all(len(piece) <= 75 for piece in pieces)
        for piece in pieces:
            piece.decode("utf-8")  # no sign is torn
        assert _unfolded(folded(line)) == [line]
    assert folded("X:" + "x" * 73).count(b"\r\n") == 1 and folded("X:" + "x" * 74).count(b"\r\n") == 2


@pytest.mark.outside(source="RFC 5545", clause="3.6.1 event component; 3.8.2.2 end", status="second-hand")
def test_each_event_has_one_uid_stamp_and_day_and_the_calendar_its_version() -> None:
    lines = _unfolded(lapses_calendar([HELD, replace(HELD, filed=replace(FILED, hash="cd" * 32))]))
    assert lines[0] == "BEGIN:VCALENDAR" and lines[-1] == "END:VCALENDAR"
    assert [lines.count(one) for one in ("VERSION:2.0", "BEGIN:VEVENT", "END:VEVENT")] == [1, 2, 2]
    assert sum(line.startswith("PRODID:") for line in lines) == 1
    uids = [line for line in lines if line.startswith("UID:")]
    assert len(uids) == len(set(uids)) == 2
    assert lines.count("DTSTAMP:20260110T115958Z") == 2
    assert lines.count("DTSTART;VALUE=DATE:20261231") == 2 and lines.count("DTEND;VALUE=DATE:20270101") == 2


@pytest.mark.outside(source="RFC 5545", clause="3.3.11 text", status="from memory")
def test_signs_with_a_meaning_are_marked_in_texts() -> None:
    lines = _unfolded(lapses_calendar([HELD]))
    assert "SUMMARY:Last day of sign-off: Åse Tølk\\; the younger\\, called \\\\Ö\\\\\\, shunter" in lines
    assert any("M. Iden\\nsecond line" in line for line in lines)


def test_what_has_lapsed_or_was_corrected_has_nothing_to_come() -> None:
    others = [replace(HELD, state=state) for state in ("lapsed", "corrected")]
    assert b"VEVENT" not in lapses_calendar(others)
    assert lapses_calendar([HELD]) == lapses_calendar([replace(HELD, left_days=1)])
    forever = replace(FILED, draft=replace(FILED.draft, body={**BODY, "until": date.max.isoformat()}))
    assert b"99991231" in lapses_calendar([replace(HELD, filed=forever)])
