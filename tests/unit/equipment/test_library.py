"""Unit type files: the built-in ones load, and every kind of fault is told with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import BUILT_IN, load_fleet, load_unit_type

TARN = (BUILT_IN / "tarn.yaml").read_text(encoding="utf-8")
FELL = (BUILT_IN / "fell.yaml").read_text(encoding="utf-8")

FAULTS = {
    "unknown key": (TARN, "issue: ", "isue: ", "nearest issue"),
    "end on the wrong vehicle": (TARN, '  "2":\n    vehicle: "4"', '  "2":\n    vehicle: "3"', "end 2 must be on vehicle 4"),
    "second coupler": (TARN, "      buffers: {kind: buffers", "      coupling: {kind: hook and screw, height_mm: 1025, "
                       "height_low_mm: 990, height_high_mm: 1045, rated_pull_kn: 450, hook_moves_and_takes_buff: true, "
                       "as_left: stowed, source: demo}\n      buffers: {kind: buffers", "coupler"),
    "cock without its hose": (FELL, "      brake_pipe_hose:", "      other_hose:", "no hose of the same pipe"),
    "parking brake on a vehicle that is not there": (TARN, 'vehicles: ["1", "4"]', 'vehicles: ["1", "9"]', "names vehicle 9"),
    "source not listed": (TARN, "as_left: shut, source: demo}", "as_left: shut, source: demp}", "nearest demo"),
    "unknown kind": (TARN, "kind: gangway", "kind: gangwey", "gangway"),
    "impossible value": (TARN, "mass_t: 42.0", "mass_t: -42.0", "found -42"),
    "valve without lap": (TARN, "does: lap", "does: locked", "positions must do each of"),
    "share over one": (TARN, "share_of_weight: 0.5", "share_of_weight: 1.5", "share_of_weight"),
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(path.stem for path in BUILT_IN.glob("*.yaml")))
def test_a_built_in_type_loads_with_ends_and_figures(name: str) -> None:
    unit_type = load_unit_type(BUILT_IN / f"{name}.yaml")
    assert unit_type.mass_kg == pytest.approx(1000 * sum(vehicle.mass_t for vehicle in unit_type.vehicles))
    assert unit_type.length_m == pytest.approx(sum(vehicle.length_m for vehicle in unit_type.vehicles))
    assert set(unit_type.ends) == {"1", "2"}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_with_file_and_line(name: str, tmp_path: Path) -> None:
    text, before, after, word = FAULTS[name]
    assert before in text
    path = tmp_path / "type.yaml"
    path.write_text(text.replace(before, after, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_unit_type(path)
    said = caught.value.text()
    assert word in said, said
    assert all(fault.file.endswith("type.yaml") and fault.line for fault in caught.value.faults)


def test_hand_and_parking_brake_on_the_same_axles_are_refused(tmp_path: Path) -> None:
    text = TARN.replace('vehicles: ["1", "4"]', 'vehicles: ["1", "2"]').replace("share_of_weight: 0.5", "share_of_weight: 0.6")
    (tmp_path / "type.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="vehicle 2 stand on more than its whole weight"):
        load_unit_type(tmp_path / "type.yaml")


def test_faults_of_several_files_come_together_and_one_type_twice_is_a_fault(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(TARN.replace("issue: ", "isue: ", 1), encoding="utf-8")
    (tmp_path / "b.yaml").write_text(FELL, encoding="utf-8")
    (tmp_path / "c.yaml").write_text(FELL, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_fleet(tmp_path)
    said = caught.value.text()
    assert "a.yaml" in said
    assert "fell is described in two files" in said


def test_an_empty_folder_and_an_unknown_type_are_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no unit types"):
        load_fleet(tmp_path)
    with pytest.raises(InputError, match="no unit types"):
        load_fleet(tmp_path / "nowhere")
    with pytest.raises(InputError) as caught:
        load_fleet().find("tarm")
    said = caught.value.text()
    assert "nearest tarn" in said
    assert "--fleet" in said
    assert all(name in said for name in load_fleet().types)


def test_every_file_of_the_built_in_fleet_is_a_type_named_as_its_file() -> None:
    assert list(load_fleet().types) == sorted(path.stem for path in BUILT_IN.glob("*.yaml"))
    assert load_fleet(BUILT_IN).find("tarn") == load_unit_type(BUILT_IN / "tarn.yaml")


def test_every_unlisted_source_of_a_file_is_told_with_its_line(tmp_path: Path) -> None:
    text = TARN.replace("as_left: shut, source: demo}", "as_left: shut, source: demp}")
    (tmp_path / "type.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_unit_type(tmp_path / "type.yaml")
    lines = [number for number, line in enumerate(text.splitlines(), 1) if "demp" in line]
    assert [fault.line for fault in caught.value.faults] == lines
    assert len(lines) > 1


def test_a_type_is_read_again_when_its_text_has_changed_and_only_then(tmp_path: Path) -> None:
    path = tmp_path / "tarn.yaml"
    path.write_text(TARN, encoding="utf-8")
    first, again = load_fleet(tmp_path).find("tarn"), load_fleet(tmp_path).find("tarn")
    path.write_text(TARN.replace("mass_t: 42.0", "mass_t: 43.0"), encoding="utf-8")
    heavier = load_fleet(tmp_path).find("tarn")
    assert again is first and heavier.vehicles != first.vehicles
    assert {vehicle.mass_t for vehicle in heavier.vehicles} >= {43.0}
