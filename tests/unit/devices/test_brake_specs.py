"""Data of the automatic brake's parts, of main reservoir and spring cylinders: what belongs together and what cannot be."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from headstock.devices.distributor import DistributorSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.equipment.library import load_fleet

FLEET = load_fleet()
OFF: dict[str, Any] = {"control_chamber": None, "reservoir_fed_by": "brake pipe", "reservoir_backed_by_brake_pipe_mm2": None}
BULB = {"bulb_l": 0.5, "choke_mm2": 10, "empties_mm2": 5}
VENT = {"chamber_l": 0.5, "choke_mm2": 0.7, "opens_at_bar": 0.6, "vent_mm2": 150, "shuts_at_bar": 1.2}
WIRES = {"max_bar": 3.6, "fill_s": 2.0, "release_s": 3.0}
CHAMBER = {"volume_l": 4, "choke_mm2": 0.6, "cylinder_bar_per_bar": 2.4, "first_step_bar": 0.4}


def changed(name: str, model: type[BaseModel], change: dict[str, Any]) -> BaseModel:
    """One device of the demonstration fleet with other figures."""
    spec = next(spec for spec in FLEET.find(name).devices.values() if isinstance(spec, model))
    return model.model_validate({**spec.model_dump(), **change})


@pytest.mark.parametrize(
    ("name", "model", "change"),
    [
        ("tarn", DistributorSpec, {}),
        ("tarn", DistributorSpec, {"release": "direct", **OFF}),
        ("tarn", DistributorSpec, {"reservoir_fed_by": "brake pipe", "reservoir_backed_by_brake_pipe_mm2": None}),
        ("tarn", DistributorSpec, {"electro_pneumatic": "none", "electric": None}),
        ("tarn", DistributorSpec, {"accelerator": None, "emergency_vent": VENT}),
        ("fell", DistributorSpec, {"release": "graduated", "control_chamber": CHAMBER}),
        ("fell", DistributorSpec, {"electro_pneumatic": "two-wire", "electric": WIRES}),
        ("tarn", MainReservoirSpec, {"stops_at_bar": 8.9}),
        ("tarn", ParkingBrakeSpec, {"full_below_bar": 0}),
    ],
)
def test_what_belongs_together_is_taken(name: str, model: type[BaseModel], change: dict[str, Any]) -> None:
    assert isinstance(changed(name, model, change), model)


@pytest.mark.parametrize(
    ("name", "model", "change", "words"),
    [
        ("tarn", DistributorSpec, {"control_chamber": None}, "a graduated release must state its control_chamber"),
        ("fell", DistributorSpec, {"control_chamber": CHAMBER}, "compares with its reservoir and has no control_chamber"),
        ("tarn", DistributorSpec, {"electric": None}, "electro_pneumatic: two-wire must state electric"),
        ("fell", DistributorSpec, {"electric": WIRES}, "electro_pneumatic: none has no electric"),
        ("tarn", DistributorSpec, {"reservoir_fed_by": "brake pipe"}, "is not backed by it as well"),
        ("fell", DistributorSpec, {"reservoir_fed_by": "main reservoir pipe"}, "reservoir_fed_by: brake pipe"),
        ("tarn", DistributorSpec, {"control_chamber": {**CHAMBER, "first_step_bar": -0.1}}, "first_step_bar"),
        ("tarn", DistributorSpec, {"control_chamber": {**CHAMBER, "cylinder_bar_per_bar": 0}}, "cylinder_bar_per_bar"),
        ("tarn", DistributorSpec, {"accelerator": {**BULB, "choke_mm2": 0}}, "choke_mm2"),
        ("tarn", DistributorSpec, {"accelerator": {**BULB, "bulb_l": 11}}, "bulb_l"),
        ("tarn", DistributorSpec, {"emergency_vent": {**VENT, "opens_at_bar": 3}}, "opens_at_bar"),
        ("tarn", DistributorSpec, {"emergency_vent": {**VENT, "shuts_at_bar": 4}}, "shuts_at_bar"),
        ("tarn", DistributorSpec, {"electric": {**WIRES, "fill_s": 0}}, "fill_s"),
        ("tarn", MainReservoirSpec, {"starts_at_bar": 8.5}, "the pressures must rise in this order"),
        ("tarn", MainReservoirSpec, {"safety_shuts_bar": 9.5}, "the pressures must rise in this order"),
        ("tarn", MainReservoirSpec, {"stops_at_bar": 9.0}, "the pressures must rise in this order"),
        ("tarn", MainReservoirSpec, {"volume_l": 5}, "volume_l"),
        ("tarn", ParkingBrakeSpec, {"full_below_bar": 5.3}, "full_below_bar must be below off_above_bar"),
        ("tarn", ParkingBrakeSpec, {"choke_mm2": 0}, "choke_mm2"),
        ("tarn", ParkingBrakeSpec, {"vehicles": ()}, "vehicles"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_name(name: str, model: type[BaseModel], change: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        changed(name, model, change)


def test_every_contradiction_of_a_brake_is_told_at_once() -> None:
    with pytest.raises(ValidationError) as caught:
        changed("tarn", DistributorSpec, {"release": "direct", "electric": None})
    said = str(caught.value)
    assert "has no control_chamber" in said
    assert "must state electric" in said
    assert "reservoir_fed_by: brake pipe" in said
