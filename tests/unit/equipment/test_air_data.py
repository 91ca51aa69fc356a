"""The figures of a unit's air: each is asked for where it belongs, refused where it does not, and told with its place."""

from __future__ import annotations

import pytest

from headstock.base.documents import document_from_text
from headstock.base.errors import ContentError
from headstock.base.loading import load_as
from headstock.devices.distributor import DistributorSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.library import BUILT_IN, KIND, load_fleet
from headstock.equipment.unit_type import UnitType

TEXTS = {path.stem: path.read_text(encoding="utf-8") for path in BUILT_IN.glob("*.yaml")}
TARN, FELL, GALE = TEXTS["tarn"], TEXTS["fell"], TEXTS["gale"]
BECK, HOLM = TEXTS["beck"], TEXTS["holm"]
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
    start = next(number for number, line in enumerate(lines) if line.startswith(f"  {name}:"))
    stop = next(number for number in range(start + 1, len(lines)) if not lines[number].startswith("    "))
    return "".join(lines[:start] + lines[stop:])


CHAMBER = "    control_chamber: {volume_l: 4.0, choke_mm2: 0.6, cylinder_bar_per_bar: 2.4, first_step_bar: 0.45}\n"
BACKED = "    reservoir_backed_by_brake_pipe_mm2: 4.0\n"
WIRES = "    electric: {max_bar: 3.6, fill_s: 2.4, release_s: 3.5}\n"
RISE = "the pressures must rise in this order"
NEW_BLOCKS = {
    "graduated without chamber": (TARN, CHAMBER, "", "a graduated release must state its control_chamber"),
    "direct with chamber": (FELL, "    reservoir_l: 70\n", CHAMBER + "    reservoir_l: 70\n",
                            "a direct release compares with its reservoir and has no control_chamber"),
    "chamber without first step": (TARN, ", first_step_bar: 0.45", "", "control_chamber.first_step_bar"),
    "chamber of nothing": (TARN, "volume_l: 4.0", "volume_l: 0", "control_chamber.volume_l"),
    "direct fed by the main reservoir pipe": (FELL, "reservoir_fed_by: brake pipe", "reservoir_fed_by: main reservoir pipe",
                                              "a direct release compares the brake pipe with a reservoir that it fills"),
    "backed by what feeds it": (FELL, "    cylinder_l: 21\n", BACKED + "    cylinder_l: 21\n",
                                "a reservoir that the brake pipe feeds is not backed by it as well"),
    "wires without figures": (TARN, WIRES, "", "electro_pneumatic: two-wire must state electric"),
    "figures without wires": (FELL, "    cylinder_l: 21\n", WIRES + "    cylinder_l: 21\n",
        "electro_pneumatic: none has no electric"),
    "wires without release": (TARN, ", release_s: 3.5}", "}", "electric.release_s"),
    "bulb without choke": (TARN, "accelerator: {bulb_l: 0.8, choke_mm2: 12, ", "accelerator: {bulb_l: 0.8, ",
        "accelerator.choke_mm2"),
    "bulb as a barrel": (TARN, "bulb_l: 0.8", "bulb_l: 80", "accelerator.bulb_l"),
    "emergency that never shuts": (HOLM, "shuts_at_bar: 1.2", "shuts_at_bar: 4.2", "emergency_vent.shuts_at_bar"),
    "emergency without chamber": (HOLM, "{chamber_l: 0.5, ", "{", "emergency_vent.chamber_l"),
    "emergency with a word too many": (HOLM, "{chamber_l: 0.5, ", "{chamber_l: 0.5, bulb_l: 1, ", "bulb_l"),
    "compressor that stops as it starts": (TARN, "stops_at_bar: 8.5", "stops_at_bar: 7.5", RISE),
    "safety valve below the governor": (TARN, "safety_shuts_bar: 8.9", "safety_shuts_bar: 8.4", RISE),
    "safety valve that never shuts": (TARN, "safety_shuts_bar: 8.9", "safety_shuts_bar: 9.5", RISE),
    "compressor on no vehicle": (TARN, 'main reservoir, vehicle: "2"', 'main reservoir, vehicle: "7"',
                                 "main_reservoir is on vehicle 7, which the unit does not have"),
    "compressor without air": (TARN, "free_air_l_per_min: 1000, ", "", "free_air_l_per_min"),
    "springs turned round": (TARN, "full_below_bar: 1.0", "full_below_bar: 5.3", "full_below_bar must be below off_above_bar"),
    "springs without vent": (TARN, "    vent_mm2: 6.0\n", "", "vent_mm2"),
    "springs without cylinder": (TARN, "    cylinder_l: 2.5\n", "", "cylinder_l"),
    "wired brake without reservoir": (BECK, "    reservoir_l: 60\n", "", "reservoir_l"),
    "wired brake that hardly presses": (BECK, "    max_bar: 3.9\n", "    max_bar: 0.4\n", "expected more than 0.4"),
    "wired brake on no vehicle": (BECK, 'acts_on_vehicles: ["1", "2", "3"]', 'acts_on_vehicles: ["1", "5"]',
        "wired_brake names vehicle 5"),
    "controller without emergency": (BECK, "          - {word: Quick, does: emergency}\n", "",
        "positions must do each of release"),
}  # fmt: skip
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
    "lap that feeds to nowhere": (TARN, "does: lap}", "does: lap, feeds_through_mm2: 20}",
                                  "the lap position must state keeps_up_bar"),
    "lap that keeps up through nothing": (TARN, "does: lap}", "does: lap, keeps_up_bar: 4.0}",
                                          "the lap position must state feeds_through_mm2"),
    "lap above the set pressure": (TARN, "does: lap}", "does: lap, feeds_through_mm2: 20, keeps_up_bar: 5.5}",
                                   "a lap keeps up no more than the set pressure"),
    "shut that keeps up": (TARN, RUNNING, RUNNING[:-1] + ", keeps_up_bar: 4.0}", "the running position has no keeps_up_bar"),
    "a fifth of a valve": (TARN, "          - {word: Hold, does: lap}\n", "", "positions must do each of"),
    **NEW_BLOCKS,
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
    start, stop = TARN.index("  automatic_brake:"), TARN.index("  main_reservoir:")
    second = TARN[start:stop].replace("automatic_brake:", "trailer_brake:").replace('["1", "2", "3", "4"]', '["2"]')
    with pytest.raises(ContentError, match="trailer_brake acts on vehicle 2, which has an automatic brake already"):
        load(TARN[:stop] + second + TARN[stop:])


def test_a_reservoir_is_fed_by_a_pipe_that_the_unit_has() -> None:
    with pytest.raises(ContentError, match="automatic_brake needs the main reservoir pipe, but devices has no air pipe"):
        load(without_device(TARN, "main_reservoir_pipe"))


def test_a_unit_has_a_brake() -> None:
    for text, name in ((FELL, "automatic_brake"), (BECK, "wired_brake")):
        with pytest.raises(ContentError, match="a unit has a brake: devices must have an automatic brake or a wired brake"):
            load(without_device(text, name))


def test_a_vehicle_has_an_automatic_or_a_wired_brake_not_both() -> None:
    start, stop = BECK.index("  wired_brake:"), BECK.index("  main_reservoir:")
    wired = BECK[start:stop].replace('["1", "2", "3"]', '["3"]')
    with pytest.raises(ContentError, match="wired_brake acts on vehicle 3, which has an automatic brake already"):
        load(TARN.replace("  main_reservoir:", wired + "  main_reservoir:", 1))
    own = TARN.replace('acts_on_vehicles: ["1", "2", "3", "4"]', 'acts_on_vehicles: ["1", "2", "4"]')
    assert load(own.replace("  main_reservoir:", wired + "  main_reservoir:", 1)).type == "tarn"


def test_a_wired_brake_fills_its_reservoirs_from_somewhere() -> None:
    pipe = load(without_device(BECK, "main_reservoir"))
    assert pipe.main_reservoir is None and pipe.air_pipe("main reservoir pipe") is not None
    dry = without_device(without_device(BECK, "main_reservoir"), "main_reservoir_pipe")
    with pytest.raises(ContentError, match="wired_brake fills its reservoirs from a main reservoir pipe or") as caught:
        load(dry.replace("ports: [main reservoir pipe]", "ports: []"))
    assert "parking_brake has springs held off by air" in caught.value.text()


def test_a_cab_works_the_brake_that_its_unit_has() -> None:
    start, stop = BECK.index("      brake_controller:"), BECK.index("      main_reservoir_gauge:")
    controller = BECK[start:stop]
    valve = TARN[TARN.index("      brake_valve:") : TARN.index("      brake_pipe_gauge:")]
    with pytest.raises(ContentError, match="brake_valve of end 1 works a brake pipe that the unit does not have"):
        load(BECK.replace(controller, valve, 1))
    with pytest.raises(ContentError, match="brake_controller of end 1: the unit has a brake pipe, so its cabs have a cab valve"):
        load(TARN.replace(valve, controller, 1))
    with pytest.raises(ContentError, match="one cab valve or one brake controller, not 1 and 1"):
        load(TARN.replace(valve, valve + controller, 1))


def valve_ends(name: str) -> list[tuple[float, float]]:
    """Set pressure and where a full application ends [bar], at each cab with a valve."""
    unit_type = FLEET.find(name)
    valves = [spec for end in ("1", "2") for _, spec in unit_type.end_devices(end, "cab valve")]
    return [(spec.set_pressure_bar, spec.ends_at_bar("full")) for spec in valves]  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_a_full_application_fills_the_cylinders_of_the_demonstration_fleet(name: str) -> None:
    """Graduated: the fall times the gain. Direct: the pipe goes below where reservoir and cylinders are equal (Boyle)."""
    for brake in FLEET.find(name).devices.values():
        for set_bar, end_bar in valve_ends(name) if isinstance(brake, DistributorSpec) else ():
            assert isinstance(brake, DistributorSpec)
            if brake.control_chamber is not None:
                cylinder_bar = brake.control_chamber.cylinder_bar_per_bar * (set_bar - end_bar)
                assert brake.cylinder_max_bar <= cylinder_bar < brake.cylinder_max_bar + 0.2
            else:
                assert end_bar < set_bar * brake.reservoir_l / (brake.reservoir_l + brake.cylinder_l)


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_reservoirs_of_the_demonstration_fleet_suffice_for_their_cylinders(name: str) -> None:
    brakes = [spec for spec in FLEET.find(name).devices.values() if isinstance(spec, DistributorSpec | WiredBrakeSpec)]
    assert brakes
    for brake in brakes:
        assert brake.reservoir_l >= 3.2 * brake.cylinder_l
        if isinstance(brake, DistributorSpec) and brake.electric is not None:
            assert brake.electric.max_bar <= brake.cylinder_max_bar
            assert brake.electric.fill_s < brake.cylinder_fill_s


def test_each_type_of_the_demonstration_fleet_has_figures_of_its_own() -> None:
    ends = [set(valve_ends(name)) for name in TEXTS if valve_ends(name)]
    assert len(ends) == len(TEXTS) - 1 == len(set().union(*ends))
    brakes = [spec for unit in FLEET.types.values() for spec in unit.devices.values()
              if isinstance(spec, DistributorSpec | WiredBrakeSpec)]  # fmt: skip
    for figure in ("reservoir_l", "cylinder_l"):
        assert len({getattr(brake, figure) for brake in brakes}) == len(TEXTS)
    mains = [unit.main_reservoir for unit in FLEET.types.values() if unit.main_reservoir]
    assert len({(main.volume_l, main.stops_at_bar) for main in mains}) == len(TEXTS)


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_compressors_keep_the_pressure_of_their_pipe_and_springs_come_off_with_it(name: str) -> None:
    unit_type = FLEET.find(name)
    main, pipe = unit_type.main_reservoir, unit_type.air_pipe("main reservoir pipe")
    assert main is not None
    assert pipe is None or pipe.working_pressure_bar == main.stops_at_bar
    springs = [spec for spec in unit_type.devices.values() if isinstance(spec, ParkingBrakeSpec)]
    assert all(spec.off_above_bar < main.starts_at_bar for spec in springs)
