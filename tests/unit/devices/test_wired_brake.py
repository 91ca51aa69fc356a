"""The brake by wires alone and its controller: a brake for each vehicle, words of the plate, no act of the ground staff."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from headstock.devices.brake_controller import COMMANDS, BrakeControllerSpec
from headstock.devices.kind import At
from headstock.devices.registry import KINDS
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.library import load_fleet

BECK = load_fleet().find("beck")
BRAKE, UNIT = BECK.devices["wired_brake"], At("90", "wired_brake")
CONTROLLER = BECK.ends["1"].devices["brake_controller"]
GOOD: dict[str, Any] = {
    "kind": "wired brake", "source": "s", "acts_on_vehicles": ("1",), "reservoir_l": 50, "reservoir_choke_mm2": 7,
    "cylinder_l": 10, "max_bar": 3.5, "fill_s": 2, "release_s": 3,
}  # fmt: skip


def test_a_wired_brake_is_in_use_or_isolated_vehicle_by_vehicle() -> None:
    kind = KINDS["wired brake"]
    variables = kind.variables(UNIT, BRAKE)
    assert [variable.key for variable in variables] == ["901.wired_brake", "902.wired_brake", "903.wired_brake"]
    assert {variable.domain for variable in variables} == {("in use", "isolated")}
    assert kind.as_left(UNIT, BRAKE) == {variable.key: "in use" for variable in variables}
    assert kind.acts(UNIT, BRAKE) == ()


def test_its_states_are_those_of_an_automatic_brake() -> None:
    """So that what reads an isolated brake reads both."""
    automatic = load_fleet().find("tarn").devices["automatic_brake"]
    one = KINDS["automatic brake"].variables(At("90", "brake"), automatic)[0]
    assert KINDS["wired brake"].variables(At("90", "brake"), BRAKE)[0] == one


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"max_bar": 0.4}, "greater than 0.4"),
        ({"reservoir_l": 0}, "reservoir_l"),
        ({"cylinder_l": -1}, "cylinder_l"),
        ({"fill_s": 61}, "fill_s"),
        ({"release_s": 0}, "release_s"),
        ({"acts_on_vehicles": ()}, "acts_on_vehicles"),
        ({"control_chamber": {}}, "control_chamber"),
    ],
)
def test_a_wired_brake_with_a_figure_that_cannot_be_is_refused(change: dict[str, Any], word: str) -> None:
    assert WiredBrakeSpec.model_validate(GOOD).max_bar == 3.5
    with pytest.raises(ValidationError, match=word):
        WiredBrakeSpec.model_validate({**GOOD, **change})


def test_a_controller_says_the_words_on_its_own_plate() -> None:
    assert isinstance(CONTROLLER, BrakeControllerSpec)
    assert CONTROLLER.word("emergency") == "Quick"
    at = At("90", "brake_controller", end="1")
    (variable,) = KINDS["brake controller"].variables(at, CONTROLLER)
    assert variable.domain == COMMANDS
    assert dict(variable.phrases)["full"] == "brake controller of 90/1 at 7"
    assert KINDS["brake controller"].as_left(at, CONTROLLER) == {at.key(): "locked"}


def test_a_controller_has_each_command_once() -> None:
    positions = [{"word": "a", "does": "release"}, {"word": "b", "does": "full"}, {"word": "c", "does": "full"}]
    with pytest.raises(
        ValidationError, match="positions must do each of release, full, emergency, locked once; found full, full"
    ):
        BrakeControllerSpec.model_validate(
            {"kind": "brake controller", "source": "s", "positions": positions, "as_left": "locked"}
        )
