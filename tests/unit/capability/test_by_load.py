"""Stops under load: longer where the brake senses none, the same where it is pressed as the mass grows."""

from __future__ import annotations

import pytest

from headstock.capability.brake_traces import EMERGENCY, CylinderTraces, cylinder_traces, ready_train
from headstock.capability.braked_train import force_traces
from headstock.capability.by_load import predict_by_load, train_under
from headstock.capability.stopping import braked_weight
from headstock.equipment.loads import LOADS
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_on_rail import moving_train
from headstock.physics.motion import LEVEL, braking_of
from tests.unit.capability.test_stopping import FLEET, engine, train_of

TSI = "Regulation (EU) No 1302/2014 (TSI LOC&PAS), 2015 text"


def _cylinders(train: Train) -> CylinderTraces:
    return cylinder_traces(ready_train(train, train.outer_ends[0], {}), [EMERGENCY], engine)[EMERGENCY]


@pytest.mark.outside(source=TSI, clause="4.2.4.5.2(6)", status="read")
@pytest.mark.parametrize("name", sorted(FLEET.types))
def test_every_stop_is_reckoned_in_three_load_states_and_no_load_shortens_it(name: str) -> None:
    train = train_of(name, name)
    cases = predict_by_load(train, LOADS, _cylinders(train), [30.0, 90.0], LEVEL)
    assert [case.load for case in cases] == ["working order", "laden", "exceptional"]
    for column in zip(*(case.stops for case in cases), strict=True):
        distances = [stop.distance_m for stop in column]
        assert distances == sorted(distances) and distances[0] < distances[-1]


@pytest.mark.outside(source="closed form", clause="force and mass in one ratio leave every acceleration", status="computed")
def test_pressed_as_the_mass_with_its_turning_parts_grows_the_stop_stays() -> None:
    fell = FLEET.find("fell")
    vehicles = []
    for vehicle in fell.vehicles:
        assert vehicle.payload is not None and vehicle.friction_brake is not None and vehicle.rotating_mass_share is not None
        payload_t = 0.25 * vehicle.mass_t * (1 + vehicle.rotating_mass_share)
        payload = vehicle.payload.model_copy(update={"exceptional_t": payload_t})
        brake = vehicle.friction_brake.model_copy(update={"load_sensing": ((0.0, 1.0), (payload_t, 1.25))})
        vehicles.append(vehicle.model_copy(update={"friction_brake": brake, "payload": payload}))
    train = Train((TrainUnit("1", fell.model_copy(update={"vehicles": tuple(vehicles)}), "1"),), ())
    empty, _, full = predict_by_load(train, LOADS, _cylinders(train), [100.0], LEVEL)
    assert full.mass_kg > 1.2 * empty.mass_kg
    assert full.stops[0].distance_m == pytest.approx(empty.stops[0].distance_m, rel=1e-9)


@pytest.mark.outside(source="closed form", clause="braked weight over mass", status="computed")
def test_the_rated_percentage_falls_as_the_mass_grows_where_no_load_is_sensed() -> None:
    train = train_of("moss", "moss")
    cylinders, rated = _cylinders(train), []
    for load in LOADS:
        loaded = train_under(train, load)
        braking = braking_of(moving_train(loaded), force_traces(loaded, EMERGENCY, cylinders))
        rated.append(braked_weight(loaded, braking).rated_percent)
    masses = [sum(unit.unit_type.mass_kg for unit in train_under(train, load).units) for load in LOADS]
    assert rated[0] is not None and rated[2] is not None
    assert rated[2] == pytest.approx(rated[0] * masses[0] / masses[2])
