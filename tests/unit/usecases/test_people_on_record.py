"""Everybody on record, an instructor's class, everything about one person, and who was taken off the lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.exchange.lapses_calendar import lapses_calendar
from headstock.records.store import StoredRecords
from headstock.usecases.people_on_record import class_of, is_of, left_draft, on_record_about, people_now
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.usecases.record_practice import (
    CompetenceGiven,
    PaperGiven,
    SittingGiven,
    competence_to_file,
    paper_to_file,
    sitting_to_file,
)

SIGNED = CompetenceGiven("J. Tolk", "shunter", ("tarn",), "Harrow Ings", "2026-01-10", "2026-12-31", "M. Iden",
                         "217 and 226, Harrow Ings, 2026-01-09", when="2026-01-10 12:00:00")  # fmt: skip
SITTING = SittingGiven("hidden cock", "R. Fell", (("j. tolk", "shunter"), ("P. Oad", "driver")), "found in two looks",
                       when="2026-01-08 09:00:00")  # fmt: skip
PAPER = PaperGiven("brake test, set 4", "K. Ray", "M. Iden", 17, 20, when="2026-01-08 11:00:00")
DAY = date(2026, 3, 1)


@pytest.fixture
def records(tmp_path: Path) -> Iterator[StoredRecords]:
    store = StoredRecords(folder=tmp_path)
    store.append([sitting_to_file(SITTING), paper_to_file(PAPER), competence_to_file(SIGNED, store),
                  competence_to_file(replace(SIGNED, until="2026-02-01"), store)])  # fmt: skip
    yield store
    store.close()


def test_everybody_is_there_once_with_what_they_hold_and_did(records: StoredRecords) -> None:
    lines = people_now(records, DAY).lines
    assert [(line.person, len(line.held), line.lapsed, line.sittings_lately) for line in lines] == [
        ("J. Tolk", 1, 1, 1), ("K. Ray", 0, 0, 0), ("P. Oad", 0, 0, 1)]  # fmt: skip
    later = people_now(records, date(2026, 9, 1)).lines
    assert [line.sittings_lately for line in later] == [0, 0, 0]


@pytest.mark.parametrize("day", ["2027-1-1", "2027-01-1", "20270101", "2027-W01-1", "٢٠٢٧-٠١-٠١", "2027-02-30", " 2027-01-01"])
def test_a_day_is_written_in_one_way_alone(records: StoredRecords, day: str) -> None:
    for wrong in (replace(SIGNED, until=day), replace(SIGNED, since=day)):
        with pytest.raises(InputError, match="day not understood"):
            competence_to_file(wrong, records)


def test_a_sign_off_of_earlier_whose_day_lacks_zeros_hides_nobody(records: StoredRecords) -> None:
    """Such a day was once taken, and the list of people could then not be shown any more."""
    good = competence_to_file(replace(SIGNED, person="A. Rook"), records)
    body = {**good.body, "since": "2026-1-2", "until": "2026-4-1"}
    records.append([replace(good, key="of-earlier", body=body)])
    (found,) = [one for one in people_now(records, DAY).held if one.filed.draft.key == "of-earlier"]
    assert (found.state, found.left_days) == ("in date", 31)
    assert b"DTSTART;VALUE=DATE:20260401" in lapses_calendar([found])


def test_a_class_is_whom_somebody_led_marked_or_signed_off(records: StoredRecords) -> None:
    led, marked = class_of("r. fell", records), class_of("M. Iden", records)
    assert is_of("J. Tolk", led) and is_of("P. Oad", led) and not is_of("K. Ray", led)
    assert is_of("K. Ray", marked) and is_of("J. Tolk", marked) and not is_of("P. Oad", marked)
    assert class_of("J. Tolk", records) == frozenset()


def test_everything_about_somebody_is_found_also_inside_texts(records: StoredRecords) -> None:
    records.append([note_to_file(NoteGiven("defect", "cock stiff, said J. Tolk", "K. Ray"), records),
                    note_to_file(NoteGiven("defect", "seen by J. Tolkien", "P. Oad"), records)])  # fmt: skip
    kinds = [one.draft.kind for one in on_record_about("J. TOLK", records)]
    assert kinds == ["sitting", "competence", "competence", "defect"]
    assert [one.draft.kind for one in on_record_about("K. Ray", records)] == ["paper", "defect"]


def test_who_was_taken_off_is_on_no_list_but_stays_on_record_until_signed_off_again(records: StoredRecords) -> None:
    records.append([left_draft("j. tolk", "S. Ware", "left the depot")])
    now = people_now(records, DAY)
    assert [line.person for line in now.lines] == ["K. Ray", "P. Oad"] and now.held == ()
    assert len(on_record_about("J. Tolk", records)) == 4 and records.verify().fault == ""
    records.append([competence_to_file(replace(SIGNED, until="2027-01-31"), records)])
    assert "J. Tolk" in [line.person for line in people_now(records, DAY).lines]


def test_nobody_is_taken_off_without_a_name_and_a_reason() -> None:
    with pytest.raises(InputError, match="3 faults"):
        left_draft(" ", "", "")
