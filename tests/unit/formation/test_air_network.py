"""From a train to its pipe: what lies where, what stands open, what reaches it."""

from __future__ import annotations

from itertools import pairwise
from math import inf, pi

import pytest

from headstock.base.errors import OutsideModelError
from headstock.equipment.library import load_fleet
from headstock.formation.air_network import AirNetwork, air_network_of, air_openings_of
from headstock.formation.air_reach import Reach, air_reach_of
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_state import as_left
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.pipe_network import ATMOSPHERE_PA, SHUT, GateSetting, ValveSetting, open_to_atmosphere

FLEET = load_fleet()
HOSE_M2 = pi / 4 * 0.028**2


def train_of(*types: str, turned: tuple[str, ...] = ()) -> Train:
    """Units 70, 71, ... of these types, all joints made; those turned stand with end 2 in front."""
    units = tuple(TrainUnit(str(70 + n), FLEET.find(name), "2" if str(70 + n) in turned else "1") for n, name in enumerate(types))
    joints = tuple(
        Joint(UnitEnd(one.name, one.first_end).other, UnitEnd(other.name, other.first_end), True)
        for one, other in pairwise(units)
    )
    return Train(units, joints)


def reach_of(train: Train, pipe: str = "brake pipe", **changes: str) -> Reach:
    air = air_network_of(train, pipe)  # type: ignore[arg-type]
    return air_reach_of(air, air_openings_of(air, train, as_left(train) | changes))


def gate(air: AirNetwork, key: str) -> int:
    return air.gates.index(key)


def test_a_pipe_is_as_long_as_its_vehicles_what_lies_between_them_and_all_its_hoses() -> None:
    tarn, fell = FLEET.find("tarn"), FLEET.find("fell")
    air = air_network_of(train_of("tarn", "fell"))
    assert air.network.length_m == pytest.approx(tarn.length_m + 3 * 1.2 + 2 * 0.6 + fell.length_m + 2 * 1.3 + 2 * 0.65)
    assert sum(piece.loss for piece in air.network.pieces) == pytest.approx(
        4 * 2.0 + 3 * 1.0 + 2 * 0.5 + 3 * 2.4 + 2 * 1.2 + 2 * 0.6
    )


def test_gates_valves_and_vehicles_follow_the_order_of_the_train() -> None:
    air = air_network_of(train_of("tarn", "fell", turned=("71",)))
    cocks = ["70/1.brake_pipe_cock", "70/2.brake_pipe_cock", "71/2.brake_pipe_cock", "71/1.brake_pipe_cock"]
    assert list(air.gates) == [*cocks[:2], "70/2 and 71/2", *cocks[2:]]
    assert air.valves == ("70/1.brake_pipe_hose", "70/1.brake_valve", "70/2.brake_valve", "71/2.brake_valve", "71/1.brake_valve",
                          "71/1.brake_pipe_hose")  # fmt: skip
    assert air.vehicles == ("701", "702", "703", "704", "713", "712", "711")
    for places in ([g.at_m for g in air.network.gates], air.network.valves_at_m, [b.at_m for b in air.network.brakes]):
        assert list(places) == sorted(places)
    assert (air.network.is_axial(0), air.network.is_axial(1), air.network.is_axial(5)) == (True, False, True)


def test_cocks_valves_and_brakes_lie_where_they_are_on_the_unit() -> None:
    air = air_network_of(train_of("tarn"))
    assert [g.at_m for g in air.network.gates] == pytest.approx([0.6, 0.6 + 81.0 + 3.6])
    assert air.network.valves_at_m[1:3] == pytest.approx([1.6, 0.6 + 81.0 + 3.6 - 1.0])
    assert air.network.brakes[1].at_m == pytest.approx(0.6 + 20.4 + 1.2 + 20.1 / 2)
    assert air.network.gates[0].area_m2 == pytest.approx(0.7 * pi / 4 * 0.0254**2)


def test_a_vehicle_leaks_as_its_own_type_does() -> None:
    air = air_network_of(train_of("tarn", "fell"))
    assert (air.network.brakes[0].leak_area_m2, air.network.brakes[4].leak_area_m2) == pytest.approx((0.005e-6, 0.006e-6))
    assert {brake.chamber_m3 + brake.reservoir_m3 for brake in air.network.brakes} == {0.0}


def test_the_main_reservoir_pipe_has_no_brakes_on_it_and_ends_where_the_next_unit_has_none() -> None:
    train = train_of("tarn", "fell")
    air = air_network_of(train, "main reservoir pipe")
    assert air.valves == ("70/1.main_reservoir_pipe_hose", "70/2.main_reservoir_pipe_hose")
    assert air.vehicles == ("701", "702", "703", "704")
    assert {brake.chamber_m3 for brake in air.network.brakes} == {0.0}
    hanging = as_left(train) | {"70/2.main_reservoir_pipe_hose": "hanging", "70/2.main_reservoir_pipe_cock": "open"}
    assert air_reach_of(air, air_openings_of(air, train, hanging)).of("703").word == "vented"


def test_units_without_cocks_have_one_gate_where_their_ports_meet() -> None:
    air = air_network_of(train_of("gale", "gale"))
    assert air.gates == ("70/2 and 71/1",)
    assert air.valves == tuple(f"{end}.brake_valve" for end in ("70/1", "70/2", "71/1", "71/2"))
    changes = {"70/1.brake_valve": "running"}
    assert reach_of(train_of("gale", "gale"), **changes).of("714").word == "fed"
    assert reach_of(train_of("gale", "gale"), **changes, **{"71/1.coupler.latch": "ready"}).of("714").word == "trapped"


def test_a_port_that_faces_a_hose_joins_nothing() -> None:
    reach = reach_of(train_of("gale", "tarn"), **{"71/1.brake_pipe_hose": "hanging", "70/1.brake_valve": "running"})
    assert [section.word for section in reach.sections] == ["fed", "vented", "trapped", "vented"]


@pytest.mark.parametrize(
    ("types", "words"),
    [
        (("tarn", "fell", "tarn"), "71 (fell) has no main reservoir pipe"),
        (("fell", "moss"), "no unit of the train has a main reservoir pipe: 70, 71"),
    ],
)
def test_a_pipe_that_is_not_one_pipe_is_refused_with_the_unit_named(types: tuple[str, ...], words: str) -> None:
    with pytest.raises(OutsideModelError) as caught:
        air_network_of(train_of(*types), "main reservoir pipe")
    assert words in caught.value.text()
    assert caught.value.why


@pytest.mark.parametrize(
    ("key", "cock", "setting"),
    [
        ("70/1.brake_pipe_cock", "shut", GateSetting(0.0, 12e-6, 0.0)),
        ("70/2.brake_pipe_cock", "shut", GateSetting(0.0, 0.0, 12e-6)),
        ("71/1.brake_pipe_cock", "shut", GateSetting(0.0, 0.0, 0.0)),
        ("71/2.brake_pipe_cock", "open", GateSetting(1.0)),
    ],
)
def test_a_shut_cock_vents_on_its_hose_side_and_a_plain_one_nowhere(key: str, cock: str, setting: GateSetting) -> None:
    train = train_of("tarn", "fell")
    air = air_network_of(train)
    assert air_openings_of(air, train, as_left(train) | {key: cock}).gates[gate(air, key)] == setting


def test_a_unit_turned_round_vents_towards_its_hose_all_the_same() -> None:
    train = train_of("tarn", "tarn", turned=("70",))
    air = air_network_of(train)
    gates = air_openings_of(air, train, as_left(train)).gates
    assert gates[gate(air, "70/2.brake_pipe_cock")] == GateSetting(0.0, 12e-6, 0.0)


def test_hoses_meet_when_joined_and_are_open_to_the_air_when_they_hang() -> None:
    train = train_of("tarn", "fell")
    air = air_network_of(train)
    meeting, hoses = gate(air, "70/2 and 71/1"), ("70/2.brake_pipe_hose", "71/1.brake_pipe_hose")
    for states, setting in (
        (("joined", "joined"), GateSetting(1.0)),
        (("on its dummy", "on its dummy"), GateSetting(0.0)),
        (("hanging", "on its dummy"), GateSetting(0.0, 0.7 * HOSE_M2, 0.0)),
        (("on its dummy", "hanging"), GateSetting(0.0, 0.0, 0.68 * HOSE_M2)),
    ):
        found = air_openings_of(air, train, as_left(train) | dict(zip(hoses, states, strict=True))).gates[meeting]
        assert (found.open, found.front_vent_m2, found.rear_vent_m2) == pytest.approx(
            (setting.open, setting.front_vent_m2, setting.rear_vent_m2)
        )


def test_hoses_of_two_patterns_are_not_taken_as_joined() -> None:
    tarn = FLEET.find("tarn")
    other = tarn.ends["1"].devices["brake_pipe_hose"].model_copy(update={"half_coupling": "another"})
    end = tarn.ends["1"].model_copy(update={"devices": tarn.ends["1"].devices | {"brake_pipe_hose": other}})
    odd = tarn.model_copy(update={"ends": {**tarn.ends, "1": end}})
    train = train_of("tarn", "tarn")
    train = Train((train.units[0], TrainUnit("71", odd, "1")), train.joints)
    air = air_network_of(train)
    values = as_left(train) | {"70/2.brake_pipe_hose": "joined", "71/1.brake_pipe_hose": "joined"}
    with pytest.raises(OutsideModelError, match="what faces it at 70/2 and 71/1 is not joined to it"):
        air_openings_of(air, train, values)


def test_outer_hoses_are_walls_on_their_dummies_and_openings_when_they_hang() -> None:
    train = train_of("tarn")
    air = air_network_of(train)
    valves = air_openings_of(air, train, as_left(train) | {"70/2.brake_pipe_hose": "hanging"}).valves
    assert valves[0] == SHUT
    assert valves[3] == open_to_atmosphere(pytest.approx(0.7 * HOSE_M2))


@pytest.mark.parametrize(
    ("changes", "hose"),
    [({"71/1.brake_pipe_hose": "hanging"}, "70/2.brake_pipe_hose"), ({"70/1.brake_pipe_hose": "joined"}, "70/1.brake_pipe_hose")],
)
def test_a_hose_joined_to_nothing_is_refused(changes: dict[str, str], hose: str) -> None:
    with pytest.raises(OutsideModelError) as caught:
        reach_of(train_of("tarn", "fell"), **changes)
    assert caught.value.what.startswith(f"{hose} is joined")
    assert caught.value.cure


@pytest.mark.parametrize(
    ("does", "setting", "word"),
    [
        ("locked", SHUT, "trapped"),
        ("lap", SHUT, "trapped"),
        ("running", ValveSetting(ATMOSPHERE_PA + 5e5, 100e-6), "fed"),
        ("full", ValveSetting(exhaust_area_m2=45e-6, exhaust_to_pa=ATMOSPHERE_PA + 3.4e5, droop_pa=1e4), "drawn"),
        ("empty", ValveSetting(exhaust_area_m2=400e-6, exhaust_to_pa=-inf, droop_pa=1e4), "vented"),
    ],
)
def test_each_position_of_a_cab_valve_does_what_its_type_says(does: str, setting: ValveSetting, word: str) -> None:
    train = train_of("tarn")
    air = air_network_of(train)
    openings = air_openings_of(air, train, as_left(train) | {"70/1.brake_valve": does})
    found = openings.valves[1]
    for name in ("supply_pa", "feed_area_m2", "feed_to_pa", "exhaust_area_m2", "exhaust_to_pa", "droop_pa"):
        assert getattr(found, name) == pytest.approx(getattr(setting, name)), name
    assert air_reach_of(air, openings).of("702").word == word


def test_a_length_is_found_by_vehicle_by_end_and_by_hose() -> None:
    reach = reach_of(train_of("tarn", "fell"), **{"70/1.brake_valve": "running", "71/1.brake_pipe_cock": "shut"})
    assert [section.word for section in reach.sections] == ["vented", "fed", "trapped", "trapped"]
    assert reach.of("704") is reach.of("70/2") is reach.of("70") is reach.of("71/1.brake_pipe_hose")
    assert reach.of("711") is reach.of("71/1") is reach.of("71/2.brake_valve") is reach.sections[2]
    assert reach.of("71/2.brake_pipe_hose") is reach.sections[3]
    assert reach.of("704").fed_to_pa == ATMOSPHERE_PA + 5e5


def test_every_thing_of_a_pipe_lies_in_one_length() -> None:
    train = train_of("tarn", "fell", "moss", turned=("71",))
    air = air_network_of(train)
    reach = air_reach_of(air, air_openings_of(air, train, as_left(train)))
    keys = [key for section in reach.sections for key in section.keys]
    assert sorted(keys) == sorted(key for key in air.position_m if key not in air.gates)
    assert set(air.vehicles) | set(air.valves) <= set(keys)


def test_two_valves_that_draw_go_to_the_lower_and_an_opening_hides_both() -> None:
    changes = {"70/1.brake_valve": "full", "71/2.brake_valve": "full"}
    section = reach_of(train_of("tarn", "fell"), **changes).of("702")
    assert (section.word, section.drawn_to_pa) == ("drawn", ATMOSPHERE_PA + 3.2e5)
    section = reach_of(train_of("tarn", "fell"), **changes, **{"71/1.brake_valve": "empty"}).of("702")
    assert section.word == "vented"


@pytest.mark.outside(source="closed form", clause="isentropic nozzle, choked", status="computed")
def test_a_tight_main_reservoir_pipe_leaks_through_the_areas_of_its_vehicles_alone() -> None:
    train = train_of("tarn")
    air = air_network_of(train, "main reservoir pipe")
    openings = air_openings_of(air, train, as_left(train))
    grid = grid_of(air.network)
    pa = ATMOSPHERE_PA + 8.5e5
    start = still_air(grid, pa, pa, pa, 0.0, openings.gates, openings.valves)
    emptied = advance(grid, start, (), 10.0, "isothermal").state  # the hoses outside the shut cocks
    end = advance(grid, emptied, (), 12.0, "isothermal").state
    lost_kg_s = float(end.tally[1] - emptied.tally[1]) / 2.0
    assert lost_kg_s == pytest.approx(4 * mass_flow_kg_s(0.005e-6, pa, ATMOSPHERE_PA, 288.15), rel=0.01)
