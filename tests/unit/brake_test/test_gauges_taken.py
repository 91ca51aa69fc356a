"""Where the unit data name no gauge one is taken, and every answer that rests on it says which."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import cast

import pytest

from headstock.brake_test.forecast import Forecast, TrainUnderTest
from headstock.brake_test.gauge_error import PLAIN_GAUGE, GaugeTaken, gauge_at, gauges_taken
from headstock.devices.gauge import GaugeSpec
from headstock.usecases.forecast_words import forecast_cautions, gauge_taken_words
from tests.cases.drawn_trains import air_of

OF_THE_PIPE = "brake pipe"


def without(tested: TrainUnderTest, *ends: str) -> TrainUnderTest:
    """The same train, no brake pipe gauge at these ends of the test."""
    units = []
    for unit in tested.train.units:
        data = {}
        for number, end in unit.unit_type.ends.items():
            bare = f"{unit.name}/{number}" in ends
            kept = {name: spec for name, spec in end.devices.items()
                    if not (bare and isinstance(spec, GaugeSpec) and spec.reads == OF_THE_PIPE)}  # fmt: skip
            data[number] = end.model_copy(update={"devices": kept})
        units.append(replace(unit, unit_type=unit.unit_type.model_copy(update={"ends": data})))
    return replace(tested, train=replace(tested.train, units=tuple(units)))


@pytest.fixture
def tested() -> TrainUnderTest:
    return air_of(8, "rear-application").tested


def test_of_a_train_with_a_gauge_in_both_cabs_none_is_taken(tested: TrainUnderTest) -> None:
    assert gauges_taken(tested) == ()


def test_a_cab_without_a_gauge_is_read_on_one_like_the_other_cab_s(tested: TrainUnderTest) -> None:
    bare = without(tested, str(tested.rear))
    own = gauge_at(tested, "front")
    assert gauges_taken(bare) == (GaugeTaken("rear", str(tested.rear), own.accuracy_class_percent, own.graduation_bar),)
    (taken,) = gauges_taken(bare)
    assert gauge_taken_words(taken) == (
        f"No brake pipe gauge is described at the rear ({tested.rear}): one of class 1.6 with marks of 0.2 bar is taken."
    )


def test_where_neither_cab_has_one_a_plain_one_is_taken_for_both(tested: TrainUnderTest) -> None:
    bare = without(tested, str(tested.front), str(tested.rear))
    assert [taken.at for taken in gauges_taken(bare)] == ["front", "rear"]
    assert gauge_at(bare, "front") is PLAIN_GAUGE


def test_the_forecast_says_it_over_its_band(tested: TrainUnderTest) -> None:
    band = SimpleNamespace(members=200, is_invented=True, drawn_from="ours", edition="1",
                           gauges_taken=gauges_taken(without(tested, str(tested.rear))))  # fmt: skip
    said = forecast_cautions(cast(Forecast, SimpleNamespace(band=band, cases=[SimpleNamespace(readings=())])))
    assert said[-1].startswith("No brake pipe gauge is described at the rear")
