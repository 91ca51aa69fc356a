"""A test of the electro-pneumatic brake forecast: the wires reach what they reach, cylinders apply, hold and let off."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.base.errors import InputError
from headstock.brake_test.band_task import BandTask
from headstock.brake_test.forecast import FaultCase, Forecast, TrainUnderTest, parted_wire_faults, predict_readings, stage_spans
from headstock.brake_test.forecast_band import band_of
from headstock.brake_test.forecast_reading import not_forecast, not_forecast_because
from headstock.brake_test.live_wires import live_wires, units_reached
from headstock.devices.distributor import DistributorSpec
from headstock.devices.scene import ELECTRIC
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.physics.fast_many import answer_few
from headstock.physics.fast_run import answer_fast
from headstock.usecases.other_method import by_method
from headstock.usecases.test_signatures import task_of_job
from tests.cases.drawn_trains import DRAWN, air_of, train_of
from tests.cases.jobs import DEMO

METHOD = load_test_method(built_in_methods()["electric-apply-hold-release"])
JUMPER = "226/1.jumper"


def wired(vehicles: int = 8) -> TrainUnderTest:
    return by_method(train_of(vehicles), METHOD)


def forecast(*faults: FaultCase, of: TrainUnderTest | None = None) -> Forecast:
    return predict_readings(of or wired(), faults, lambda runs: tuple(answer_fast(run) for run in runs))


def shows(asked: Forecast, case: int = 0) -> list[float]:
    return [reading.shows_bar for reading in asked.cases[case].readings]


def test_applied_held_and_let_off_are_those_of_the_unit_data() -> None:
    """The pressure is that of the type's data; a cylinder that is let off stands at nothing after many times its release time."""
    found = forecast()
    (spec,) = (one for one in wired().train.units[0].unit_type.devices.values() if isinstance(one, DistributorSpec))
    assert spec.electric is not None
    applied, fall, released = shows(found)
    assert applied == pytest.approx(spec.electric.max_bar, abs=0.02) and fall == pytest.approx(0.0, abs=0.01)
    assert released == pytest.approx(0.0, abs=0.02)
    assert found.cases[0].is_within_limits
    assert max(found.cases[0].front_bar) - min(found.cases[0].front_bar) < 0.1  # the pipe is left alone


def test_wires_parted_at_the_joint_leave_the_rear_brake_off_and_are_seen() -> None:
    (parted,) = parted_wire_faults(wired())
    assert parted.values == {JUMPER: "hanging"}
    found = forecast(parted)
    assert shows(found, 1) == pytest.approx([0.0, 0.0, 0.0], abs=0.01) and not found.cases[1].is_within_limits


def test_a_brake_cut_out_in_the_rear_cab_s_vehicle_is_seen_and_one_in_between_is_not() -> None:
    rear, between = (FaultCase("isolated", {f"{vehicle}.automatic_brake": "isolated"}) for vehicle in ("2264", "2262"))
    keys = {key for key in wired().values if "automatic_brake" in key}
    assert set(rear.values) | set(between.values) <= keys, sorted(keys)
    found = forecast(rear, between)
    assert shows(found, 1)[0] == pytest.approx(0.0, abs=0.01) and shows(found, 2) == pytest.approx(shows(found), abs=0.02)


def test_wires_go_from_unit_to_unit_as_far_as_each_joint_is_joined() -> None:
    train, front = wired(12).train, wired(12).front
    values = dict(wired(12).values)
    names = [unit.name for unit in train.units]
    assert units_reached(train, front, values) == set(names)
    second = next(key for key, value in values.items() if key.endswith("jumper") and value == "latched" and names[2] in key)
    assert units_reached(train, front, {**values, second: "in its dummy"}) == set(names[:2])
    assert live_wires(train, front, values) is None
    held = live_wires(train, front, {**values, second: "in its dummy", ELECTRIC: "hold"})
    assert held is not None and held[f"{names[1]}1"] == (False, True) and held[f"{names[2]}1"] == (False, False)


def test_the_band_of_a_cylinder_is_opened_by_a_cylinder_s_gauge_and_its_own_stillness() -> None:
    asked = replace(air_of(8, "rear-application"), tested=wired(), spans=stage_spans(wired()))
    task = BandTask(asked, DRAWN, 40)
    band = band_of(task, task.answer(answer_few))
    applied = band.of_stage("applied")
    assert applied is not None and applied.lowest <= 3.6 <= applied.highest and applied.highest - applied.lowest <= 0.81
    stage = next(one for one in band.stages if one.stage == "applied")
    assert stage.from_s is not None and 1 <= stage.from_s <= 15  # the cylinder moves, the pipe would be still at once


def test_what_is_not_forecast_is_refused_with_the_reason() -> None:
    with pytest.raises(InputError, match="a lamp shows no air"):
        by_method(train_of(8), load_test_method(built_in_methods()["wires"]))


def test_a_lamp_beside_pipe_gauges_is_left_out_and_said() -> None:
    stages = METHOD.model_dump()["stages"]
    lamp = {"at": "front", "name": "Brakes on lamp", "reads": "lamp"}
    told = type(METHOD).model_validate(METHOD.model_dump() | {"stages": [*stages[:2], stages[2] | {"reading": lamp}]})
    assert not_forecast_because(told) is None
    assert not_forecast(told) == ("Brakes on lamp: a lamp shows no air",) and not_forecast(METHOD) == ()


def test_a_train_without_that_circuit_and_blind_spots_of_wires_are_refused() -> None:
    plain = train_of(8)
    spec = next(one for one in plain.train.units[0].unit_type.devices.values() if isinstance(one, DistributorSpec))
    name = next(key for key, one in plain.train.units[0].unit_type.devices.items() if one is spec)
    without = spec.model_copy(update={"electro_pneumatic": "none", "electric": None})
    unit = plain.train.units[0]
    other = replace(unit, unit_type=unit.unit_type.model_copy(update={"devices": {**unit.unit_type.devices, name: without}}))
    train = replace(plain.train, units=(other, *plain.train.units[1:]))
    with pytest.raises(InputError, match="electro-pneumatic circuit"):
        by_method(replace(plain, train=train), METHOD)
    with pytest.raises(InputError, match="no fault of wires"):
        from headstock.compute.kept_runs import KeptRuns
        from headstock.equipment.library import load_fleet

        task_of_job(DEMO, load_fleet(), KeptRuns(), method="electric-apply-hold-release")
