"""Versions of unit types: kept for good, the newest in force, an issue says one thing."""

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import Fleet, load_fleet
from headstock.records.store import StoredRecords
from headstock.usecases.records_port import Draft
from headstock.usecases.type_form import form_of, with_values
from headstock.usecases.unit_type_versions import FILE_VERSION, fleet_in_force, version_draft, version_named, versions_of


@pytest.fixture
def records(tmp_path: Path) -> StoredRecords:
    return StoredRecords(folder=tmp_path)


FLEET = load_fleet()


def changed(issue: str = "9", mass: str = "41.5") -> str:
    return with_values(FLEET.texts["beck"], {"issue": issue, "vehicles[0].mass_t": mass})


def save(text: str, records: StoredRecords, fleet: Fleet = FLEET) -> None:
    records.append([version_draft(text, "A. Nyme", "weighed anew", fleet, records)[0]])


def test_the_newest_version_is_in_force_and_the_files_are_the_oldest(records: StoredRecords) -> None:
    assert fleet_in_force(FLEET, records)[0].types == FLEET.types
    save(changed("2", "40"), records)
    save(changed("3", "41.5"), records)
    fleet, notes = fleet_in_force(FLEET, records)
    assert fleet.types["beck"].vehicles[0].mass_t == 41.5 and fleet.types["tarn"] == FLEET.types["tarn"] and notes == ()
    assert [one.issue for one in versions_of("beck", FLEET, records)] == ["3", "2", FLEET.types["beck"].issue]
    assert version_named(FILE_VERSION, "beck", FLEET, records).text == FLEET.texts["beck"]


def test_an_issue_says_one_thing(records: StoredRecords) -> None:
    save(changed("2"), records)
    for text in (changed(FLEET.types["beck"].issue), changed("2", "43")):
        with pytest.raises(InputError, match="this issue is there already"):
            version_draft(text, "A. Nyme", "why", FLEET, records)


@pytest.mark.parametrize(("who", "why"), [("", "why"), ("who", " ")])
def test_somebody_says_it_and_why(who: str, why: str, records: StoredRecords) -> None:
    with pytest.raises(InputError, match="nobody says"):
        version_draft(changed(), who, why, FLEET, records)


def test_a_text_with_faults_is_never_saved(records: StoredRecords) -> None:
    with pytest.raises(InputError, match="mass_t"):
        version_draft(FLEET.texts["beck"].replace("mass_t: 39.0", "mass_t: heavy"), "A. Nyme", "why", FLEET, records)


def test_a_version_that_cannot_be_read_any_more_is_not_in_force_and_is_named(records: StoredRecords) -> None:
    draft, _ = version_draft(changed(), "A. Nyme", "why", FLEET, records)
    old = Draft(draft.kind, draft.key, draft.at, draft.terms, {**draft.body, "unit_type_file": "headstock: unit type 0\n"})
    records.append([old])
    fleet, notes = fleet_in_force(FLEET, records)
    assert fleet.types == FLEET.types and len(notes) == 1 and "is not in force" in notes[0]


@pytest.mark.parametrize("name", FLEET.types)
def test_every_field_of_every_type_can_be_set_and_nothing_else_changes(name: str) -> None:
    text = FLEET.texts[name]
    fields = [field for group in form_of(text) for field in group.fields]
    assert len(fields) > 10
    for field in fields:
        value = "9" if field.name in ("title", "issue") else f"{float(field.value) + 0.25:g}"
        made = with_values(text, {field.name: value})
        assert value in [one.value for group in form_of(made) for one in group.fields if one.name == field.name]
        lines = [one for one in zip(text.splitlines(), made.splitlines(), strict=True) if one[0] != one[1]]
        assert len(lines) == 1


@pytest.mark.parametrize("value", ["heavy", "1\nx: 2", "1 # ", "{}", "-4", ""])
def test_a_figure_that_is_none_is_refused(value: str) -> None:
    with pytest.raises(InputError, match="cannot be set here"):
        with_values(FLEET.texts["beck"], {"vehicles[0].mass_t": value})


def test_quotes_in_a_title_stay_a_title() -> None:
    made = with_values(FLEET.texts["beck"], {"title": 'the "new" one: \\ 2'})
    assert {field.name: field.value for group in form_of(made) for field in group.fields}["title"] == 'the "new" one: \\ 2'
