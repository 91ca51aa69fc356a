"""A running test forecast: the speed that the train's own brakes take off it, as brakes and cocks stand, and its band."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from headstock.base.errors import InputError
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.band_task import BandTask
from headstock.brake_test.forecast import FaultCase, Forecast, TrainUnderTest, predict_readings, stage_spans
from headstock.brake_test.forecast_band import ReadingBand, band_of
from headstock.brake_test.running_reading import OnTheLine, cylinders_in_order, speed_fall_kmh
from headstock.capability.brake_traces import FULL, cylinder_traces, ready_train
from headstock.capability.braked_train import force_traces
from headstock.capability.stopping import predict_running_test
from headstock.equipment.running_data import FrictionSpec
from headstock.formation.train import Train
from headstock.formation.train_air import brake_pipe_air_of
from headstock.formation.train_on_rail import friction_brake, full_bar, moving_train, vehicles_of
from headstock.local_rules.drawn_tests import Range
from headstock.local_rules.test_method import BrakeTestMethod, built_in_methods, load_test_method
from headstock.physics.fast_many import answer_many
from headstock.physics.fast_run import answer_fast
from headstock.physics.motion import LEVEL
from headstock.usecases.given_faults import usual_faults
from headstock.usecases.other_method import by_method
from tests.cases.drawn_trains import DRAWN, train_of

METHOD = load_test_method(built_in_methods()["running"])


def short() -> BrakeTestMethod:
    """Read six seconds after the call, so that no train stands yet."""
    own = METHOD.model_dump()
    own["stages"][0]["allowance"] = own["stages"][1]["allowance"] = "read_short"
    return BrakeTestMethod.model_validate(own)


@cache
def running(vehicles: int = 8) -> TrainUnderTest:
    found = train_of(vehicles)
    given = found.rules.allowances_s
    rules = found.rules.model_copy(
        update={"allowances_s": given.model_copy(update={"value": {**given.value, "read_short": 3.0}})}
    )
    return by_method(replace(found, rules=rules), short())


def forecast(*faults: FaultCase, of: TrainUnderTest | None = None) -> Forecast:
    return predict_readings(of or running(), faults, lambda runs: tuple(answer_fast(run) for run in runs))


def falls(found: Forecast) -> list[float]:
    return [case.readings[0].shows_bar for case in found.cases]


def with_even_friction(train: Train) -> Train:
    even = FrictionSpec(law="constant", coefficient=0.35, up_to_kmh=200)
    units = []
    for unit in train.units:
        vehicles = tuple(
            one.model_copy(update={"friction_brake": one.friction_brake.model_copy(update={"friction": even})})
            for one in unit.unit_type.vehicles if one.friction_brake is not None
        )  # fmt: skip
        units.append(replace(unit, unit_type=unit.unit_type.model_copy(update={"vehicles": vehicles})))
    return replace(train, units=tuple(units))


@pytest.mark.outside(source="closed form", clause="push, friction and mass that do not change: v = v0 - a t", status="computed")
def test_a_pressure_that_stands_takes_off_what_newton_says() -> None:
    """Discs of 0.35 at every speed; masses with what their turning parts add."""
    train = with_even_friction(train_of(8).train)
    pa = 1.5e5
    force_n, heavy_kg = 0.0, 0.0
    columns = len(list(vehicles_of(train)))
    for unit, vehicle, _ in vehicles_of(train):
        assert vehicle.friction_brake is not None and vehicle.rotating_mass_share is not None
        most_bar = full_bar(unit, vehicle.suffix)
        assert most_bar is not None
        force_n += 0.35 * float(friction_brake(vehicle.friction_brake, most_bar).push_n(np.array([pa]))[0])
        heavy_kg += 1e3 * vehicle.mass_t * (1.0 + vehicle.rotating_mass_share)
    for lasts_s in (2.0, 5.0):
        traces = np.full((round(lasts_s / 0.25) + 1, columns), pa)
        assert speed_fall_kmh(train, traces, 0.25, 60.0) == pytest.approx(3.6 * force_n / heavy_kg * lasts_s, rel=1e-6)
    uphill = speed_fall_kmh(train, np.zeros((9, columns)), 0.25, 60.0, OnTheLine(rise=0.01))
    mass_kg = sum(1e3 * vehicle.mass_t for _, vehicle, _ in vehicles_of(train))
    assert uphill == pytest.approx(3.6 * 9.80665 * 0.01 * mass_kg / heavy_kg * 2.0, rel=1e-6)


def test_it_is_the_fall_that_the_question_of_stopping_gives_a_time_for() -> None:
    """Two roads over the same brakes: how long from 40 to 20 km/h, and how far the speed has fallen after just so long."""
    tested = running()
    ready = ready_train(tested.train, tested.front, {})
    cylinders = cylinder_traces(ready, [FULL], lambda runs: tuple(answer_fast(run) for run in runs))[FULL]
    traces = force_traces(tested.train, FULL, cylinders)
    (told,) = predict_running_test(tested.train, moving_train(tested.train), traces, LEVEL, 40.0, 20.0, ())
    samples = int(told.stop.time_s / cylinders.sample_s)
    fell = [
        speed_fall_kmh(tested.train, cylinders.cylinder_pa[: count + 1], cylinders.sample_s, 40.0)
        for count in (samples, samples + 1)
    ]
    assert fell[0] <= 20.0 <= fell[1]


def test_every_brake_lost_and_every_cock_shut_takes_less_off_and_the_fewer_brakes_the_less() -> None:
    tested = running()
    cases = usual_faults(tested)
    assert len(cases) == 2 + 8 and sum("isolated" in case.name for case in cases) == 8
    healthy, near, far, *one = falls(forecast(*cases))
    assert all(fall < healthy - 0.3 for fall in one)
    assert far < healthy  # what lies behind the joint has no brake
    two = FaultCase("two", {key: "isolated" for case in cases[2:4] for key in case.values})
    assert falls(forecast(two))[1] < min(one[:2])
    # A shut cock with its vent on the far side empties the portion behind: it brakes by itself, nearly as hard.
    assert near == pytest.approx(healthy, abs=8.0)


def test_it_begins_charged_with_parking_and_hand_brakes_off_whatever_they_held_before() -> None:
    tested = running()
    held = [at.key() for at, spec in tested.train.devices() if spec.kind in ("parking brake", "hand brake")]
    assert held and all(tested.values[key] == "off" for key in held)
    assert any(train_of(8).values[key] == "on" for key in held)
    case = forecast().cases[0]
    assert case.front_bar[0] == pytest.approx(5.0, abs=0.05) and case.rear_bar[0] == pytest.approx(5.0, abs=0.05)


def test_a_train_that_stands_has_lost_all_its_speed() -> None:
    assert falls(forecast(of=by_method(train_of(4), METHOD)))[0] == pytest.approx(40.0, abs=0.01)


def band_with(**ranges: tuple[float, float]) -> ReadingBand:
    tested = running()
    still = {"friction_share": (1.0, 1.0), "running_rise": (0.0, 0.0), "running_from_error_kmh": (0.0, 0.0),
             "stage_longer_s": (0.0, 0.0)}  # fmt: skip
    given = {name: Range(low=low, high=high) for name, (low, high) in (still | ranges).items()}
    drawn = DRAWN.model_copy(update={"healthy": DRAWN.healthy.model_copy(update=given)})
    air = AirUnderTest(tested, brake_pipe_air_of(tested.train), stage_spans(tested))
    task = BandTask(air, drawn, 40)
    found = band_of(task, task.answer(answer_many)).of_stage("slowed")
    assert found is not None
    return found


def test_the_band_widens_with_friction_line_and_time_and_ends_on_whole_marks() -> None:
    (healthy,) = falls(forecast())
    narrow = band_with()
    assert narrow.low <= healthy + 0.2 and narrow.high >= healthy - 0.2 and narrow.high - narrow.low < 0.5
    assert (narrow.lowest, narrow.highest) == (np.floor(narrow.low - 0.5), np.ceil(narrow.high + 0.5))
    friction = band_with(friction_share=(0.85, 1.15))
    assert friction.high - friction.low == pytest.approx(0.95 * 0.3 * healthy, rel=0.15)
    line, longer = band_with(running_rise=(-0.01, 0.01)), band_with(stage_longer_s=(0.0, 3.0))
    assert line.high - line.low > 1.5 and longer.high > narrow.high + 2.0


def test_rules_without_speeds_and_types_without_masses_are_said_to_lack_them() -> None:
    found = train_of(4)
    with pytest.raises(InputError, match="running_test"):
        by_method(replace(found, rules=found.rules.model_copy(update={"running_test": None})), METHOD)
    unit = found.train.units[0]
    vehicles = tuple(one.model_copy(update={"friction_brake": None}) for one in unit.unit_type.vehicles)
    bare = replace(unit, unit_type=unit.unit_type.model_copy(update={"vehicles": vehicles}))
    with pytest.raises(InputError, match="friction_brake of vehicle"):
        by_method(replace(found, train=Train((bare,), ())), METHOD)


def test_cylinders_stand_in_the_order_of_the_train_and_are_never_below_nothing() -> None:
    train = train_of(4).train
    names = [name for _, _, name in vehicles_of(train)]
    found = cylinders_in_order(train, (names[2], names[0]), np.array([[1.0, -2.0]]))
    assert found.tolist() == [[0.0, 0.0, 1.0, 0.0]]
