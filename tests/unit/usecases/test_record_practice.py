"""Sittings, papers, competence: refused with every reason, in date or lapsed by the day, and what an auditor is shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.records.store import StoredRecords
from headstock.usecases.auditor_view import auditor_view
from headstock.usecases.competence_now import person_now
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.usecases.record_practice import (
    CompetenceGiven,
    PaperGiven,
    SittingGiven,
    competence_to_file,
    paper_to_file,
    sitting_to_file,
)
from headstock.usecases.records_port import Search

SIGNED = CompetenceGiven("J. Tolk", "shunter", ("tarn", "kestle"), "Harrow Ings", "2026-01-10", "2026-12-31", "M. Iden",
                         "217 and 226, Harrow Ings, 2026-01-09", when="2026-01-10 12:00:00")  # fmt: skip
SITTING = SittingGiven("hidden cock", "M. Iden", (("J. Tolk", "shunter"), ("P. Oad", "driver")), "found in two looks",
                       when="2026-01-08 09:00:00")  # fmt: skip
PAPER = PaperGiven("brake test, set 4", "J. Tolk", "M. Iden", 17, 20, when="2026-01-08 11:00:00")


@pytest.fixture
def records(tmp_path: Path) -> Iterator[StoredRecords]:
    store = StoredRecords(folder=tmp_path)
    yield store
    store.close()


def test_a_sign_off_is_in_date_until_its_last_day_and_then_lapsed(records: StoredRecords) -> None:
    sitting, paper = records.append([sitting_to_file(SITTING), paper_to_file(PAPER)])
    signed = replace(SIGNED, about=(sitting.code, str(paper.seq)))
    (filed,) = records.append([competence_to_file(signed, records)])
    assert filed.draft.body["rests_on"] == [sitting.draft.key, paper.draft.key]
    states = {day: person_now("J. Tolk", records, date.fromisoformat(day)) for day in
              ("2026-01-09", "2026-01-10", "2026-12-31", "2027-01-01")}  # fmt: skip
    assert [now.competences[0].state for now in states.values()] == ["not yet", "in date", "in date", "lapsed"]
    assert [now.competences[0].left_days for now in states.values()] == [356, 355, 0, -1]
    assert [now.sittings_lately for now in states.values()] == [1, 1, 0, 0]
    assert [entry.code for entry in states["2027-01-01"].papers] == [paper.code]
    assert person_now("P. Oad", records, date(2026, 2, 1)).competences == ()
    records.append([note_to_file(NoteGiven("correction", "wrong person", "M. Iden", about=filed.code), records)])
    assert person_now("J. Tolk", records, date(2026, 2, 1)).competences[0].state == "corrected"


@pytest.mark.parametrize(
    ("people", "told"),
    [
        (
            (("shunter", "J. Tolk"),),
            "name and role are the other way round @ --person: found shunter=J. Tolk, expected J. Tolk=shunter",
        ),
        ((("J. Tolk", "shuntr"),), "no such role @ --person: found shuntr, expected driver, shunter or guard; nearest shunter"),
        ((("J. Tolk", ""),), "name or role is missing @ --person: found J. Tolk=, expected NAME=ROLE"),
    ],
)
def test_a_sitting_names_people_and_roles_that_there_are(people: tuple[tuple[str, str], ...], told: str) -> None:
    with pytest.raises(InputError) as refused:
        sitting_to_file(replace(SITTING, people=people))
    assert [fault.text() for fault in refused.value.faults] == [told]


def test_a_sign_off_is_for_a_role_and_types_that_there_are(records: StoredRecords) -> None:
    wrong = replace(SIGNED, role="shuntr", units=("tarn", "kestl"))
    with pytest.raises(InputError) as refused:
        competence_to_file(wrong, records, ("tarn", "kestle"))
    assert [(fault.what, fault.path, fault.nearest) for fault in refused.value.faults] == [
        ("no such role", "--role", "shunter"), ("no such unit type", "--unit", "kestle")]  # fmt: skip
    assert competence_to_file(replace(wrong, role="shunter"), records).body["units"] == ["tarn", "kestl"], "types not known here"


def test_the_same_sent_again_adds_nothing(records: StoredRecords) -> None:
    drafts = [sitting_to_file(SITTING), paper_to_file(PAPER), competence_to_file(SIGNED, records)]
    assert [entry.is_new for entry in records.append(drafts)] == [True] * 3
    again = [sitting_to_file(SITTING), paper_to_file(PAPER), competence_to_file(SIGNED, records)]
    assert [entry.is_new for entry in records.append(again)] == [False] * 3
    assert [entry.draft.kind for entry in records.search(Search(("tolk",)))] == ["competence", "paper", "sitting"]


def test_what_cannot_have_been_is_refused_with_every_reason(records: StoredRecords) -> None:
    wrong = replace(SIGNED, assessor="j. tolk ", units=(), watched=" ", since="2031-01-01", until="2030-01-01")
    with pytest.raises(InputError) as caught:
        competence_to_file(wrong, records)
    said = str(caught.value)
    for reason in ("nothing is said @ --watched", "for which units?", "nobody signs themselves off", "end before it begins",
                   "nobody has seen that yet"):  # fmt: skip
        assert reason in said
    with pytest.raises(InputError, match="no such entry"):
        competence_to_file(replace(SIGNED, about=("ABCD",)), records)
    with pytest.raises(InputError, match="2 faults") as caught:
        paper_to_file(replace(PAPER, points=21, marked_by="J. TOLK"))
    assert "more or fewer points" in str(caught.value) and "own paper" in str(caught.value)
    with pytest.raises(InputError, match="nobody sat the exercise"):
        sitting_to_file(replace(SITTING, people=()))
    with pytest.raises(InputError, match="name or role is missing"):
        sitting_to_file(replace(SITTING, people=(("J. Tolk", ""),)))
    with pytest.raises(InputError, match="yet to come"):
        sitting_to_file(replace(SITTING, when="2999-01-01 10:00:00"))
    assert records.verify().entries == 0


def test_an_auditor_is_shown_what_deserves_a_closer_look(records: StoredRecords) -> None:
    (filed,) = records.append([competence_to_file(SIGNED, records)])
    (mended,) = records.append([note_to_file(NoteGiven("correction", "wrong person", "M. Iden", about=filed.code), records)])
    view = auditor_view(records, records.verify())
    assert (dict(view.kinds), view.tests, view.is_cut) == ({"competence": 1, "correction": 1, "key": 1}, (), False)
    assert [(look.filed.code, look.why) for look in view.looks] == [(mended.code, f"corrects {filed.draft.key}")]
    assert [key.seq for key in view.keys] == [1] and view.verdict.fault == ""
    assert auditor_view(records, records.verify(), to_day="2026-01-31").looks == ()
