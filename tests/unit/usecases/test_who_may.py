"""Who is covered for a job's roles: by role, pair, place and day; every reason for the others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from headstock.records.store import StoredRecords
from headstock.usecases.competence_now import held_by_all
from headstock.usecases.job_file import JOBS_FOLDER, load_job
from headstock.usecases.record_notes import NoteGiven, note_to_file
from headstock.usecases.record_practice import CompetenceGiven, competence_to_file
from headstock.usecases.who_may import WorkAsked, who_may, work_of

SIGNED = CompetenceGiven("J. Tolk", "shunter", ("tarn",), "Harrow Ings", "2026-01-10", "2026-12-31", "M. Iden",
                         "217 and 226, Harrow Ings, 2026-01-09", when="2026-01-10 12:00:00")  # fmt: skip
WORK = WorkAsked((("shunter", "J. Tolk"),), ("tarn", "tarn"), "Harrow Ings, road 3")
DAY = date(2026, 12, 1)


@pytest.fixture
def records(tmp_path: Path) -> Iterator[StoredRecords]:
    store = StoredRecords(folder=tmp_path)
    yield store
    store.close()


def _why(records: StoredRecords, work: WorkAsked = WORK, day: date = DAY) -> dict[str, tuple[str, ...]]:
    (role,) = who_may(work, held_by_all(records, day), ())
    return {one.person: one.why_not for one in (*role.covered, *role.others)}


def test_a_job_asks_for_its_roles_the_types_at_its_joint_and_its_place() -> None:
    papers = load_job(JOBS_FOLDER / "demo-attach.yaml")
    work = work_of(papers.job, papers.place.name)
    assert work == WorkAsked((("driver", "M. Iden"), ("shunter", "J. Tolk"), ("guard", "P. Oad")), ("tarn", "tarn"),
                             "Harrow Ings, road 3")  # fmt: skip


def test_role_pair_place_and_day_must_all_fit_and_each_that_does_not_is_named(records: StoredRecords) -> None:
    people = {
        "fits": {}, "elsewhere": {"place": "Wending"}, "other road": {"place": "Harrow Ings, road 4"},
        "this road": {"place": "harrow ings, ROAD 3"},
        "driver only": {"role": "driver"}, "mixed pair": {"units": ("tarn", "kestle")},
        "lapsed": {"until": "2026-11-30"}, "last day": {"until": "2026-12-01"},
        "all wrong": {"place": "Wending", "role": "guard", "units": ("beck",), "until": "2026-11-30"},
    }  # fmt: skip
    records.append([competence_to_file(replace(SIGNED, person=name, **more), records) for name, more in people.items()])
    why = _why(records)
    assert {name for name, reasons in why.items() if not reasons} == {"fits", "this road", "last day"}
    said = {name: reasons[0].partition(": ")[2] for name, reasons in why.items() if reasons}
    assert said == {
        "elsewhere": "at Wending, not at Harrow Ings, road 3",
        "other road": "at Harrow Ings, road 4, not at Harrow Ings, road 3",
        "driver only": "as driver, not as shunter",
        "mixed pair": "for tarn with kestle, not for tarn with tarn",
        "lapsed": "lapsed, 2026-11-30 was its last day",
        "all wrong": "as guard, not as shunter; for beck, not for tarn with tarn; at Wending, not at Harrow Ings, road 3; "
                     "lapsed, 2026-11-30 was its last day",
    }  # fmt: skip


def test_a_mixed_pair_is_not_covered_by_either_type_alone(records: StoredRecords) -> None:
    pair = replace(WORK, types=("kestle", "tarn"))
    records.append([competence_to_file(one, records) for one in
                    (SIGNED, replace(SIGNED, person="K. Ray", units=("kestle", "tarn")))])  # fmt: skip
    why = _why(records, pair)
    assert why["K. Ray"] == () and "for tarn, not for kestle with tarn" in why["J. Tolk"][0]


def test_a_corrected_one_does_not_count_and_a_renewed_one_lasts_longer(records: StoredRecords) -> None:
    old, new = records.append([competence_to_file(SIGNED, records),
                               competence_to_file(replace(SIGNED, until="2027-06-30"), records)])  # fmt: skip
    (role,) = who_may(WORK, held_by_all(records, DAY), ())
    assert [one.by.filed.code for one in role.covered if one.by] == [new.code] and not role.covered[0].lapses_soon
    records.append([note_to_file(NoteGiven("correction", "wrong units", "M. Iden", about=new.code), records)])
    (role,) = who_may(WORK, held_by_all(records, DAY), ())
    assert [one.by.filed.code for one in role.covered if one.by] == [old.code] and role.covered[0].lapses_soon
    records.append([note_to_file(NoteGiven("correction", "never seen", "M. Iden", about=old.code), records)])
    why = _why(records)["J. Tolk"]
    assert len(why) == 2 and all("corrected since" in reason for reason in why)


def test_whom_the_job_names_is_answered_even_with_nothing_on_record(records: StoredRecords) -> None:
    (role,) = who_may(WORK, (), ("P. Oad",))
    assert role.named is not None and role.named.why_not == ("no sign-off on record",)
    assert [one.person for one in role.others] == ["P. Oad"] and role.covered == ()
    (nobody,) = who_may(replace(WORK, crew=(("guard", " "),)), (), ())
    assert nobody.named is None
