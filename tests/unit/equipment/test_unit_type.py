"""The description of a unit type: what belongs together is asked for, and a contradiction is told with its place."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError, Fault
from headstock.base.loading import load_as
from headstock.devices.registry import KINDS
from headstock.equipment.library import BUILT_IN, KIND, load_fleet
from headstock.equipment.unit_type import UnitType

TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in BUILT_IN.glob("*.yaml")}
TARN, FELL = TEXTS["tarn"], TEXTS["fell"]
FLEET = load_fleet()
GEAR = "  - {kind: screw coupling, stowed: guard's locker, rated_pull_kn: 350, source: demo}"


def loaded(text: str) -> UnitType:
    return load_as(document_from_text(text, "type.yaml"), UnitType, KIND)


def faults(text: str, *changes: tuple[str, str]) -> tuple[Fault, ...]:
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    with pytest.raises(ContentError) as caught:
        loaded(text)
    return caught.value.faults


def line_of(text: str, piece: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), 1) if piece in line)


def all_kinds(unit_type: UnitType) -> Iterator[str]:
    for devices in (unit_type.devices, *(part.devices for part in (*unit_type.vehicles, *unit_type.ends.values()))):
        yield from (spec.kind for spec in devices.values())  # type: ignore[attr-defined]


def test_mass_and_length_are_those_of_the_vehicles() -> None:
    fell = FLEET.find("fell")
    assert fell.mass_kg == pytest.approx(103_000)
    assert fell.length_m == pytest.approx(59.1)


def test_devices_of_an_end_are_found_by_kind() -> None:
    assert {name for name, _ in FLEET.find("tarn").end_devices("2", "end cock")} == {
        "brake_pipe_cock",
        "main_reservoir_pipe_cock",
    }
    assert not list(FLEET.find("fell").end_devices("1", "automatic coupler"))


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_a_demonstration_type_says_that_it_is_invented(name: str) -> None:
    unit_type = FLEET.find(name)
    assert unit_type.invented
    assert {source.status for source in unit_type.sources.values()} <= {"invented", "common practice", "computed"}
    assert set(all_kinds(unit_type)) <= set(KINDS)


def test_a_unit_type_does_not_change() -> None:
    with pytest.raises(ValueError, match="frozen"):
        FLEET.find("tarn").title = "x"  # type: ignore[misc]


@pytest.mark.parametrize(
    ("changes", "path", "words"),
    [
        ([('  "2":\n    vehicle: "4"', '  "2":\n    vehicle: "3"')], "", "end 2 must be on vehicle 4, not 3"),
        ([('suffix: "2"', 'suffix: "1"')], "", "vehicle 1 is listed twice"),
        ([('vehicles: ["1", "4"]', 'vehicles: ["1", "9"]')], "", "parking_brake names vehicle 9, which the unit does not have"),
        ([('acts_on_vehicles: ["1", "2"', 'acts_on_vehicles: ["1", "7"')], "", "automatic_brake names vehicle 7"),
        ([("      coupler:\n", "      hook:\n")], "ends.1", "one device named coupler"),
        ([("brake_pipe_hose: {kind: hose, pipe: brake pipe", "brake_pipe_hose: {kind: hose, pipe: main reservoir pipe")],
         "ends.1", "brake_pipe_cock has no hose of the same pipe"),
        ([("      main_reservoir_pipe_cock:", "      reservoir_cock:")], "ends.1", "main_reservoir_pipe_hose has no end cock"),
        ([("      brake_valve:\n        kind: cab valve", "      brake_valve:\n        kind: cab walve")],
         "ends.1.devices.brake_valve.kind", "not one of the choices"),
        ([('  "1":\n    vehicle', '  "3":\n    vehicle')], "ends.3", ""),
    ],
)  # fmt: skip
def test_what_does_not_fit_together_is_told_at_its_place(changes: list[tuple[str, str]], path: str, words: str) -> None:
    found = faults(TARN, *changes)
    assert any(words in fault.what and fault.path.startswith(path) for fault in found), [fault.text() for fault in found]
    assert all(fault.line for fault in found)


def test_an_end_with_a_cab_needs_one_brake_valve_and_an_end_without_needs_none() -> None:
    start, end = FELL.index("      brake_valve:"), FELL.index("      brake_pipe_gauge:")
    without = FELL[:start] + FELL[end:]
    assert "one cab valve, not 0" in faults(without)[0].what
    assert loaded(without.replace("has_cab: true", "has_cab: false", 1)).ends["1"].has_cab is False


def test_every_contradiction_of_a_unit_is_told_at_once() -> None:
    (fault,) = faults(TARN, ('suffix: "2"', 'suffix: "1"'), ('vehicles: ["1", "4"]', 'vehicles: ["8", "9"]'))
    assert all(words in fault.what for words in ("vehicle 1 is listed twice", "vehicle 8", "vehicle 9"))


def test_five_faults_of_one_file_come_together_each_on_its_line() -> None:
    changes = (
        ("issue: ", "isue: "),
        ("mass_t: 42.0", "mass_t: -42.0"),
        ("axles: 4", "axles: four"),
        ('suffix: "2"', "suffix: 2"),
        ("kind: gangway", "kind: gangwey"),
    )
    found = faults(TARN, *changes)
    changed = TARN
    for before, after in changes:
        changed = changed.replace(before, after, 1)
    wanted = {line_of(changed, after) for _, after in changes}
    assert wanted <= {fault.line for fault in found}
    said = "\n".join(fault.text() for fault in found)
    for words in ("nearest issue", "more than 1", "a whole number", "put it in quotes", "nearest gangway"):
        assert words in said
    lines = [fault.line or 0 for fault in found]
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    ("gear", "words"),
    [
        ("{kind: screw coupling, stowed: locker, source: demo}", "the screw coupling must state its rated_pull_kn"),
        ("{kind: adapter, stowed: locker, rated_pull_kn: 300, source: demo}", "which two coupler faces it joins"),
        ("{kind: adapter, stowed: locker, faces: [a, b], source: demo}", "the adapter must state its rated_pull_kn"),
        ("{kind: adapter, stowed: locker, faces: [knuckle A, hook and screw], rated_pull_kn: 300, source: demo}",
         "which difference of heights it takes (bridges_mm)"),
        ("{kind: adapter, stowed: locker, faces: [knuckle, hook and screw], bridges_mm: 90, rated_pull_kn: 300, source: demo}",
         "knuckle is no face: write automatic coupler X, hook and screw, knuckle X"),
        ("{kind: coupling pole, stowed: locker, bridges_mm: 90, source: demo}", "a coupling pole has no faces and no bridges_mm"),
        ("{kind: adaptor, stowed: locker, source: demo}", "not one of the choices"),
    ],
)  # fmt: skip
def test_loose_gear_says_what_one_must_know_to_use_it(gear: str, words: str) -> None:
    found = faults(FELL, (GEAR, f"  - {gear}"))
    assert [fault.path.startswith("loose_gear[0]") for fault in found] == [True]
    assert words in found[0].what


def test_a_lamp_carried_loose_needs_no_pull() -> None:
    lamp = "  - {kind: portable red lamp, stowed: cab, source: demo}"
    assert loaded(FELL.replace(GEAR, lamp)).loose_gear[0].rated_pull_kn is None


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("bogie_centres_m: 14.2", "bogie_centres_m: 20.4", "bogie_centres_m 20.4 is not below length_m 20.4"),
        ("bogie_centres_m: 14.2", "bogie_centres_m: 1.5", "greater than 1.5"),
        ("bogie_centres_m: 14.2", "bogie_centres_m: 30", "less than 30"),
        ("gathers_horizontally_mm: 120", "gathers_horizontally_mm: 0", "greater than 0"),
        ("gathers_horizontally_mm: 120", "gathers_horizontally_mm: 800", "less than 800"),
    ],
)
def test_what_a_curve_asks_for_keeps_to_its_bounds(before: str, after: str, words: str) -> None:
    said = " ".join(fault.text() for fault in faults(TARN, (before, after)))
    number = words.rsplit(" ", maxsplit=1)[-1]
    assert words in said or number in said, said
    assert before.partition(":")[0] in said


def test_every_demonstration_type_can_be_reckoned_on_a_curve() -> None:
    for unit_type in FLEET.types.values():
        assert all(vehicle.bogie_centres_m for vehicle in unit_type.vehicles)
        couplers = [end.devices["coupler"] for end in unit_type.ends.values()]
        assert all(getattr(coupler, "gathers_horizontally_mm", 1) for coupler in couplers)
