"""The train and its one state: order, ends, positions, touches."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.equipment.library import load_fleet
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_state import TrainState, as_left, layout_of, state_of

FLEET = load_fleet()


def train(first_end: str = "1", made: bool = True) -> Train:
    tarn, fell = FLEET.find("tarn"), FLEET.find("fell")
    other = "2" if first_end == "1" else "1"
    units = (TrainUnit("70", tarn, first_end), TrainUnit("71", tarn, "1"), TrainUnit("80", fell, "1"))
    joints = (Joint(UnitEnd("70", other), UnitEnd("71", "1"), made), Joint(UnitEnd("71", "2"), UnitEnd("80", "1"), False))
    return Train(units, joints)


def start() -> TrainState:
    layout = layout_of(train())
    return state_of(layout, as_left(train()))


def test_outer_ends_and_portions_follow_the_order_of_the_units() -> None:
    assert [str(end) for end in train("2").outer_ends] == ["70/2", "80/2"]
    assert [[unit.name for unit in units] for units in train().portions()] == [["70", "71"], ["80"]]


def test_positions_run_from_the_first_end() -> None:
    made = train()
    tarn_m, fell_m = FLEET.find("tarn").length_m, FLEET.find("fell").length_m
    assert made.end_position_m(UnitEnd("71", "2")) == pytest.approx(2 * tarn_m)
    assert made.end_position_m(UnitEnd("80", "2")) == pytest.approx(2 * tarn_m + fell_m)
    assert made.end_position_m(UnitEnd("70", "1")) == 0
    assert train("2").vehicle_position_m("70", "4") == pytest.approx(FLEET.find("tarn").vehicles[3].length_m / 2)


def test_each_cab_has_its_own_valve_and_an_end_without_a_cab_none() -> None:
    made = train()
    at, valve = made.cab_valve(UnitEnd("71", "2"))
    assert at.key() == "71/2.brake_valve"
    assert valve is FLEET.find("tarn").ends["2"].devices["brake_valve"]
    tarn = FLEET.find("tarn")
    bare = {name: spec for name, spec in tarn.ends["2"].devices.items() if name != "brake_valve"}
    cabless = tarn.model_copy(update={"ends": {**tarn.ends, "2": tarn.ends["2"].model_copy(update={"devices": bare})}})
    with pytest.raises(KeyError, match="no brake valve at 70/2"):
        Train((TrainUnit("70", cabless, "1"),), ()).cab_valve(UnitEnd("70", "2"))


def test_a_joint_already_made_is_found_made() -> None:
    found = as_left(train())
    assert found["70/2.brake_pipe_cock"] == found["71/1.brake_pipe_cock"] == "open"
    assert found["70/2.brake_pipe_hose"] == "joined"
    assert found["71/1.jumper"] == "latched"
    assert found["71/2.brake_pipe_cock"] == "shut"


def test_one_pipe_mates_with_one_pipe_of_two() -> None:
    pairs = {near[0].name for near, _ in train().mated(train().joint_to_make)}
    assert "brake_pipe_hose" in pairs
    assert "main_reservoir_pipe_hose" not in pairs
    assert "jumper" not in pairs


def test_setting_a_thing_to_what_it_was_is_a_touch_too() -> None:
    before = start()
    after = before.after({"71/2.brake_pipe_cock": "shut"})
    number = before.layout.index("71/2.brake_pipe_cock")
    assert after.values == before.values
    assert (before.touches[number], after.touches[number]) == (0, 1)


@given(st.lists(st.sampled_from(["shut", "open"]), max_size=8))
def test_touches_count_every_setting_and_the_last_one_stands(values: list[str]) -> None:
    state = start()
    for value in values:
        state = state.after({"80/2.brake_pipe_cock": value})
    number = state.layout.index("80/2.brake_pipe_cock")
    assert state.touches[number] == len(values)
    assert state.named()["80/2.brake_pipe_cock"] == (values[-1] if values else "shut")
    assert sum(state.touches) == len(values)
