"""Joining two pipes with somebody between: the higher one eases the brake that the lower one holds."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from headstock.capability.equalising import EASED_AT_MOST_PA, EqualisingResult, PortionPipe, predict_equalising
from headstock.compute.kept_runs import KeptRuns
from headstock.devices.distributor import DistributorSpec
from headstock.equipment.library import load_fleet
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd

PIPES = ("empty", "drawn", "charged")
BAR = {"charged": 5.0, "drawn": 3.4, "empty": 0.0}


def train_of(first: str, second: str) -> Train:
    fleet = load_fleet()
    units = (TrainUnit("1", fleet.find(first), "1"), TrainUnit("2", fleet.find(second), "1"))
    return Train(units, (Joint(UnitEnd("1", "2"), UnitEnd("2", "1"), False),))


def results(
    train: Train, moving: int, moving_bar: dict[str, float], standing_bar: dict[str, float]
) -> dict[str, EqualisingResult]:
    mine, other = train.units[moving], train.units[1 - moving]
    found = predict_equalising(train, PortionPipe((mine,), moving_bar), PortionPipe((other,), standing_bar), PIPES, KeptRuns())
    return {result.standing_pipe: result for result in found}


def test_a_pipe_no_higher_leaves_the_brake_on_and_a_charged_one_eases_it() -> None:
    found = results(train_of("tarn", "tarn"), 0, BAR, BAR)
    assert [found[pipe].keeps for pipe in PIPES] == [True, True, False]
    assert found["empty"].eased_pa <= EASED_AT_MOST_PA
    assert found["charged"].eased_pa > 1e5


@pytest.mark.outside(source="closed form", clause="Boyle, two volumes joined at one temperature", status="computed")
def test_the_brake_is_eased_by_what_two_volumes_of_one_size_come_to() -> None:
    # Pipes at 3.4 and 5.0 bar, the bulbs of the first full and of the second empty; the cylinder follows where they meet.
    train = train_of("tarn", "tarn")
    spec = next(s for s in train.units[0].unit_type.devices.values() if isinstance(s, DistributorSpec))
    pipe = train.units[0].unit_type.air_pipe("brake pipe")
    assert spec.control_chamber is not None and spec.accelerator is not None and pipe is not None
    length_m = train.units[0].unit_type.length_m + 3 * pipe.hose_between_vehicles_m + 0.6
    pipe_l, bulbs_l = pi / 4 * pipe.bore_mm**2 * 1e-6 * length_m * 1e3, 4 * spec.accelerator.bulb_l
    meets_bar = (3.4 * (pipe_l + bulbs_l) + 5.0 * pipe_l) / (2 * (pipe_l + bulbs_l))
    left_bar = spec.control_chamber.cylinder_bar_per_bar * (5.0 - meets_bar)
    found = results(train, 0, BAR, BAR)["charged"]
    assert found.eased_pa / 1e5 == pytest.approx(spec.cylinder_max_bar - left_bar, abs=0.15)


def test_with_direct_release_any_rise_lets_go() -> None:
    train = train_of("fell", "tarn")
    lower = {**BAR, "drawn": 3.2}
    found = results(train, 0, lower, {**BAR, "drawn": 3.4})
    assert [found[pipe].keeps for pipe in PIPES] == [True, False, False]
    graduated = results(train_of("tarn", "fell"), 0, {**BAR, "drawn": 3.2}, {**BAR, "drawn": 3.25})
    assert graduated["drawn"].keeps, "a cylinder at its greatest pressure is not eased by so small a rise"


def test_which_portion_moves_makes_no_difference_to_two_alike() -> None:
    train = train_of("tarn", "tarn")
    one, other = results(train, 0, BAR, BAR), results(train, 1, BAR, BAR)
    for pipe in PIPES:
        assert one[pipe].eased_pa == pytest.approx(other[pipe].eased_pa, abs=200.0)
        assert one[pipe].keeps == other[pipe].keeps


def test_a_vehicle_without_a_brake_counts_for_nothing() -> None:
    train = train_of("tarn", "tarn")
    unit_type = train.units[0].unit_type
    devices = {
        name: spec.model_copy(update={"acts_on_vehicles": ("1",)}) if isinstance(spec, DistributorSpec) else spec
        for name, spec in unit_type.devices.items()
    }
    lone = replace(train.units[0], unit_type=unit_type.model_copy(update={"devices": devices}))
    found = results(replace(train, units=(lone, train.units[1])), 0, BAR, BAR)
    assert np.isfinite(found["charged"].eased_pa) and not found["charged"].keeps
