"""What stands of a filed test follows from what is on record, in whichever order it was entered; the rule is that of judging."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import load_fleet
from headstock.usecases.file_test import Filing, filing_of
from headstock.usecases.moments import day_s, moment_s, moment_text
from headstock.usecases.people_file import BUILT_IN, load_people
from headstock.usecases.record_notes import NoteGiven, TouchGiven, note_to_file, touch_to_file, voided_by
from headstock.usecases.record_state import state_of_test
from headstock.usecases.records_port import Draft, Filed, Search
from headstock.wiring import read_recorder
from tests.cases.records import MULTIPLE_UNIT, record_text
from tests.cases.test_judged_tests import rear
from tests.cases.test_touches import TEXT

COCK = "217/2.brake_pipe_cock"


class OnPaper:
    """Records in a list."""

    def __init__(self) -> None:
        self.entries: list[Filed] = []

    def append(self, drafts: Sequence[Draft]) -> tuple[Filed, ...]:
        new = [Filed(len(self.entries) + number, f"code-{len(self.entries) + number}", "", "", "", 0, draft, True)
               for number, draft in enumerate(drafts, start=1)]  # fmt: skip
        self.entries += new
        return tuple(new)

    def named(self, name: str) -> Filed | None:
        return next((entry for entry in self.entries if name in (str(entry.seq), entry.code, entry.draft.key)), None)

    def search(self, wanted: Search) -> tuple[Filed, ...]:
        found = [entry for entry in self.entries if {word.casefold() for word in wanted.words} <= set(entry.draft.terms)
                 and (not wanted.any_of or {word.casefold() for word in wanted.any_of} & set(entry.draft.terms))
                 and wanted.kind in ("", entry.draft.kind) and entry.draft.at >= wanted.from_day
                 and (not wanted.to_day or entry.draft.at < wanted.to_day + "~")]  # fmt: skip
        return tuple(reversed(found))

    def every(self) -> Sequence[Filed]:
        return self.entries


@pytest.fixture
def records() -> OnPaper:
    return OnPaper()


def filed(records: OnPaper, folder: Path, text: str = TEXT, day: str = "2026-01-20") -> Filed:
    (folder / "test.yaml").write_text(text, encoding="utf-8")
    filing = filing_of(folder / "test.yaml", load_fleet(), read_recorder, Filing(day))
    assert filing.draft is not None, filing.refused
    return records.append([filing.draft])[0]


def touched(records: OnPaper, when: str, device: str = COCK, test: str | None = None, part_of: str = "") -> Filed:
    return records.append([touch_to_file(TouchGiven(device, "J. Tolk", when, test, part_of), records)])[0]


@pytest.mark.parametrize(("when", "device", "state"), [
    ("2026-01-20 10:30:00", COCK, "void"), ("2026-01-21 00:10:00", COCK, "void"), ("2026-01-20 10:05:00", COCK, "void"),
    ("2026-01-20 09:59:00", COCK, "stands"), ("2026-01-19 12:00:00", COCK, "stands"),
    ("2026-01-20 10:30:00", "226/2.red_lamp", "stands"), ("2026-01-20 10:30:00", "226/2.brake_valve", "void"),
    ("2026-01-20 10:30:00", "311/1.brake_pipe_cock", "stands"),
])  # fmt: skip
@pytest.mark.parametrize("first", ["test", "touch"])
def test_a_touch_of_its_path_since_it_began_makes_a_test_void(
    when: str, device: str, state: str, first: str, records: OnPaper, tmp_path: Path
) -> None:
    touch = touched(records, when, device) if first == "touch" else None
    test = filed(records, tmp_path)
    touch = touch or touched(records, when, device)
    assert state_of_test(test, records).state == state
    assert [now.filed for now in voided_by(touch, records)] == ([test] if state == "void" else [])


def test_a_touch_that_is_said_to_be_the_method_s_counts_only_within_the_test(records: OnPaper, tmp_path: Path) -> None:
    test = filed(records, tmp_path)
    touched(records, "2026-01-20 10:30:00", "226/2.brake_valve", test.code, "rear valve shut")
    assert state_of_test(test, records).state == "void"


def test_devices_that_no_job_describes_count_within_their_own_test_alone(records: OnPaper, tmp_path: Path) -> None:
    train = {**MULTIPLE_UNIT, "devices": ["tail cock"]}
    text = record_text("rear-application", train, rear(3.4, 3.4, 3.4, 4.9))
    mine = filed(records, tmp_path, text)
    other = filed(records, tmp_path, text.replace("A case", "Another"))
    touched(records, "2026-01-20 11:00:00", "tail cock")
    assert state_of_test(mine, records).state == "stands"
    touched(records, "2026-01-20 11:00:00", "tail cock", test=mine.code)
    assert (state_of_test(mine, records).state, state_of_test(other, records).state) == ("void", "stands")


def test_a_corrected_test_says_so_and_void_in_its_own_record_stays_void(records: OnPaper, tmp_path: Path) -> None:
    late = TEXT.replace('{time: "10:06:40", device', '{time: "10:16:40", device')
    test = filed(records, tmp_path, late)
    assert (test.draft.body["verdict"], state_of_test(test, records).state) == ("not yet", "void")
    records.append([note_to_file(NoteGiven("correction", "the time was 10:06:40", "P. Oad", about=test.code), records)])
    assert state_of_test(test, records).state == "corrected"


@pytest.mark.parametrize("given", [
    TouchGiven("no_such", "J. Tolk", test="1"), TouchGiven(COCK, "J. Tolk", "yesterday"), TouchGiven(COCK, "J. Tolk", test="99"),
    TouchGiven(COCK, "J. Tolk", "2999-01-01 10:00:00"), TouchGiven(COCK, "J. Tolk", part_of="rear valve shut"),
])  # fmt: skip
def test_an_impossible_touch_is_refused(given: TouchGiven, records: OnPaper, tmp_path: Path) -> None:
    filed(records, tmp_path)
    with pytest.raises(InputError):
        touch_to_file(given, records)


def test_people_are_in_date_from_their_first_to_their_last_day() -> None:
    people = load_people(BUILT_IN / "wending-vale.yaml")
    assert list(people.why_not(["M. Iden", "P. Oad", "J. Tolk"], date(2026, 2, 28))) == []
    assert len(list(people.why_not(["M. Iden", "J. Tolk", "J. Tolk", "A. Nother"], date(2026, 3, 1)))) == 2


def test_moments_come_back_as_they_were() -> None:
    assert moment_text(moment_s("2026-02-28 23:59:59") + 1) == "2026-03-01 00:00:00"
    assert day_s("2026-01-20") == moment_s("2026-01-20 00:00:00")
    for bad in ("2026-01-20", "20.1.2026 10:00", "2026-01-20 10:00:00+01:00", "2026-13-01 10:00:00"):
        with pytest.raises(InputError):
            moment_s(bad)
