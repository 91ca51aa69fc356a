"""The figures of a unit's air: each is asked for where it belongs, refused where it does not, and told with its place."""

from __future__ import annotations

import pytest

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError
from headstock.base.loading import load_as
from headstock.equipment.library import BUILT_IN, KIND, load_fleet
from headstock.equipment.unit_type import UnitType

TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in BUILT_IN.glob("*.yaml")}
TARN, FELL, GALE = TEXTS["tarn"], TEXTS["fell"], TEXTS["gale"]
FLEET = load_fleet()
VENTED = "vents_hose_when_shut: true\n        vent_area_mm2: 12\n"
PLAIN = "vents_hose_when_shut: false\n"
RUNNING = "does: running, feeds_through_mm2: 100}"
FULL = "does: full, ends_at_bar: 3.4, lets_out_through_mm2: 45}"


def load(text: str) -> UnitType:
    return load_as(document_from_text(text, "type.yaml"), UnitType, KIND)


def without_device(text: str, name: str) -> str:
    """The text without one block of the unit's devices."""
    lines = text.splitlines(keepends=True)
    start = lines.index(f"  {name}:\n")
    stop = next(number for number in range(start + 1, len(lines)) if not lines[number].startswith("    "))
    return "".join(lines[:start] + lines[stop:])


FAULTS = {
    "vent without area": (TARN, VENTED, "vents_hose_when_shut: true\n", "must state its vent_area_mm2"),
    "area without vent": (FELL, PLAIN, PLAIN + "        vent_area_mm2: 12\n", "has no vent_area_mm2"),
    "coefficient over one": (TARN, "discharge_coefficient: 0.7", "discharge_coefficient: 1.7", "discharge_coefficient"),
    "main pipe without pressure": (TARN, "    working_pressure_bar: 8.5\n", "", "must state its working_pressure_bar"),
    "brake pipe with pressure": (FELL, "    leak_area_mm2_per_vehicle: 0.006\n",
                           "    leak_area_mm2_per_vehicle: 0.006\n    working_pressure_bar: 5\n", "no working_pressure_bar"),
    "bore of a drain": (TARN, "bore_mm: 25.4", "bore_mm: 254", "bore_mm"),
    "hose without loss": (TARN, "loss: 0.5, ", "", "loss"),
    "running without area": (TARN, RUNNING, "does: running}", "the running position must state feeds_through_mm2"),
    "running that lets out": (TARN, RUNNING, "does: running, feeds_through_mm2: 100, lets_out_through_mm2: 45}",
                              "the running position has no lets_out_through_mm2"),
    "full without area": (TARN, FULL, "does: full, ends_at_bar: 3.4}", "the full position must state lets_out_through_mm2"),
    "full without end": (TARN, FULL, "does: full, lets_out_through_mm2: 45}", "must say at which pressure they end"),
    "full that ends at the set pressure": (TARN, "ends_at_bar: 3.4", "ends_at_bar: 5", "must end below the set pressure"),
    "lap that ends": (TARN, "does: lap}", "does: lap, ends_at_bar: 3}", "the lap position has no ends_at_bar"),
    "a fifth of a valve": (TARN, "          - {word: Hold, does: lap}\n", "", "positions must do each of"),
    "brake without chamber": (TARN, "    control_chamber_l: 2.0\n", "", "control_chamber_l"),
    "reservoir fed by a pipe not there": (FELL, "reservoir_fed_by: brake pipe", "reservoir_fed_by: main reservoir pipe",
                                          "automatic_brake needs the main reservoir pipe"),
    "one pipe twice": (TARN, "    pipe: main reservoir pipe\n", "    pipe: brake pipe\n", "are both the brake pipe"),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_figure_that_is_missing_or_out_of_place_is_told(name: str) -> None:
    text, before, after, words = FAULTS[name]
    assert before in text
    changed = text.replace(before, after, 1)
    if name == "one pipe twice":
        changed = changed.replace("    working_pressure_bar: 8.5\n", "")
    with pytest.raises(ContentError) as caught:
        load(changed)
    assert any(words in fault.text() and fault.line for fault in caught.value.faults), caught.value.text()


@pytest.mark.parametrize("name", ["tarn", "fell", "gale"])
def test_a_pipe_that_comes_out_at_an_end_must_go_through_the_unit(name: str) -> None:
    with pytest.raises(ContentError) as caught:
        load(without_device(TEXTS[name], "brake_pipe"))
    said = caught.value.text()
    assert "the brake pipe comes out at end 1 and end 2, but devices has no air pipe with pipe: brake pipe" in said
    assert "automatic_brake needs the brake pipe" in said


def test_a_pipe_through_the_unit_must_come_out_at_an_end() -> None:
    pipe = "  main_reservoir_pipe:\n" + TARN.split("  main_reservoir_pipe:\n")[1].split("  board:")[0]
    with pytest.raises(ContentError, match=r"main_reservoir_pipe comes out nowhere: no end has an end cock"):
        load(FELL.replace("  board:", pipe + "  board:", 1))


def test_a_pipe_may_come_out_at_one_end_alone() -> None:
    start, stop = TARN.index("      main_reservoir_pipe_cock:"), TARN.index("      jumper:")
    assert load(TARN[:start] + TARN[stop:]).air_pipe("main reservoir pipe") is not None


def test_an_end_has_one_cock_of_a_pipe() -> None:
    start, stop = TARN.index("      brake_pipe_cock:"), TARN.index("      main_reservoir_pipe_cock:")
    second = TARN[start:stop].replace("brake_pipe_cock:", "other_cock:").replace("brake_pipe_hose:", "other_hose:")
    with pytest.raises(ContentError, match="comes out by brake_pipe_cock and by other_cock: an end has one"):
        load(TARN[:stop] + second + TARN[stop:])


def test_an_end_has_a_cock_or_a_port_of_a_pipe_not_both() -> None:
    start, stop = TARN.index("      brake_pipe_cock:"), TARN.index("      main_reservoir_pipe_cock:")
    with pytest.raises(ContentError, match="the brake pipe comes out by coupler and by brake_pipe_cock"):
        load(GALE.replace("      gangway:", TARN[start:stop] + "      gangway:", 1))


def test_a_vehicle_has_one_automatic_brake() -> None:
    start, stop = TARN.index("  automatic_brake:"), TARN.index("  brake_pipe:")
    second = TARN[start:stop].replace("automatic_brake:", "trailer_brake:").replace('["1", "2", "3", "4"]', '["2"]')
    with pytest.raises(ContentError, match="trailer_brake acts on vehicle 2, which has an automatic brake already"):
        load(TARN[:stop] + second + TARN[stop:])


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_a_full_application_fills_the_cylinders_of_the_demonstration_fleet(name: str) -> None:
    devices = {spec.kind: spec for spec in FLEET.find(name).devices.values()}  # type: ignore[attr-defined]
    brake = devices["automatic brake"]
    for _, valve in FLEET.find(name).end_devices("1", "cab valve"):
        fall_bar = valve.set_pressure_bar - valve.ends_at_bar("full")  # type: ignore[attr-defined]
        assert brake.cylinder_max_bar <= brake.cylinder_bar_per_bar * fall_bar < brake.cylinder_max_bar + 0.2  # type: ignore[attr-defined]


def test_the_types_of_the_demonstration_fleet_end_a_full_application_each_at_its_own_pressure() -> None:
    ends = [spec.ends_at_bar("full") for name in TEXTS for _, spec in FLEET.find(name).end_devices("1", "cab valve")]  # type: ignore[attr-defined]
    assert len(set(ends)) == len(TEXTS)
