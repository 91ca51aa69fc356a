"""An empty main reservoir joined to a live one: never lower than Boyle without a compressor, and slower where air is thin."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.capability.main_reservoirs import ReservoirsQuestion, predict_reservoirs, springs_dip
from headstock.formation.air_charge import main_bar_of
from tests.unit.capability.test_stopping import engine, train_of

TRAIN = train_of("tarn", "tarn")
ASKED = ReservoirsQuestion(TRAIN, (TRAIN.units[0],), (TRAIN.units[1],), 5.0)


@pytest.mark.outside(source="closed form", clause="two volumes joined, isothermal (Boyle)", status="computed")
def test_the_live_reservoirs_fall_no_lower_than_without_a_compressor_and_well_below_their_own() -> None:
    found = predict_reservoirs(ASKED, engine)
    assert found is not None
    main = TRAIN.units[0].unit_type.main_reservoir
    assert main is not None
    live_bar = main_bar_of(TRAIN.units[0])
    # The dead side: its main reservoir, four brake reservoirs, four vehicles' springs, a hundred litres for the pipe.
    brakes = [spec for spec in TRAIN.units[0].unit_type.devices.values() if hasattr(spec, "reservoir_l")]
    dead_l = main.volume_l + sum(spec.reservoir_l * len(spec.acts_on_vehicles) for spec in brakes) + 4 * 10.0 + 100.0
    assert live_bar * main.volume_l / (main.volume_l + dead_l) < found.lowest_bar < live_bar - 1.0
    assert 0.0 < found.lowest_at_s < 100.0 and found.needed_bar == max(one.threshold_bar for one in found.below)
    assert found.keeps == (found.lowest_bar >= found.needed_bar)


def test_where_the_air_is_thin_a_compressor_gives_less_and_the_wait_is_longer() -> None:
    sea, high = (predict_reservoirs(replace(ASKED, outside_pa=pa), engine) for pa in (101_325.0, 70_000.0))
    assert sea is not None and high is not None and sea.wait_s is not None and high.wait_s is not None
    assert high.wait_s > 1.1 * sea.wait_s and high.lowest_bar <= sea.lowest_bar + 0.05


def test_watched_too_briefly_the_wait_is_not_told() -> None:
    brief = predict_reservoirs(replace(ASKED, until_s=20.0), engine)
    assert brief is not None and brief.wait_s is None and any(one.seconds is None for one in brief.below)


def test_without_a_main_reservoir_there_is_nothing_to_fall() -> None:
    assert predict_reservoirs(ReservoirsQuestion(TRAIN, (), (TRAIN.units[1],), 5.0), engine) is None
    assert springs_dip((), (TRAIN.units[0],)) is None


@pytest.mark.outside(source="closed form", clause="Boyle: gauge pressures joined do not know the atmosphere", status="computed")
def test_filling_springs_takes_the_same_gauge_pressure_at_any_height() -> None:
    sea, high = (springs_dip((TRAIN.units[0],), (TRAIN.units[1],), pa) for pa in (101_325.0, 70_000.0))
    assert sea is not None and high is not None and high.lowest_bar == pytest.approx(sea.lowest_bar, abs=1e-9)
