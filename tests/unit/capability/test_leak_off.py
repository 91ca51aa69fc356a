"""Trapped air lets go: by the closed form of an emptying vessel, sooner with a greater leak, and never counted to hold."""

from __future__ import annotations

import pytest

from headstock.capability.leak_off import AIR_K, predict_leak_off
from headstock.devices.distributor import DistributorSpec
from headstock.equipment.library import load_fleet
from headstock.formation.train import TrainUnit
from headstock.formation.train_on_rail import friction_brake
from headstock.physics.gradient import slope_force_n
from headstock.physics.pipe_network import ATMOSPHERE_PA
from headstock.physics.volumes import isothermal_emptying_time_s, time_constant_s

MOSS = TrainUnit("7", load_fleet().find("moss"), "1")
STEEP = 0.03


def _falls_to_pa() -> float:
    """Cylinder pressure [Pa, gauge] at which the blocks no longer hold the unit, by bisection on the force."""
    pull = slope_force_n(MOSS.unit_type.mass_kg, STEEP)
    brakes = [friction_brake(vehicle.friction_brake, 4.1) for vehicle in MOSS.unit_type.vehicles if vehicle.friction_brake]
    low, high = 0.3e5, 4.1e5
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if sum(brake.force_n(middle, 0.0) for brake in brakes) > pull else (middle, high)
    return high


@pytest.mark.outside(source="closed form", clause="isothermal emptying of a vessel, choked then not", status="computed")
def test_cylinders_alone_empty_as_the_closed_form_says() -> None:
    (spec,) = (one for one in MOSS.unit_type.devices.values() if isinstance(one, DistributorSpec))
    found = predict_leak_off((MOSS,), STEEP, 0.5, 0.1)
    tau = time_constant_s(spec.cylinder_l * 1e-3, 0.1e-6, AIR_K)
    full, end = ATMOSPHERE_PA + spec.cylinder_max_bar * 1e5, ATMOSPHERE_PA + _falls_to_pa()
    assert found.soonest_s == pytest.approx(isothermal_emptying_time_s(tau, full, end, ATMOSPHERE_PA), rel=0.01)


def test_a_greater_leak_lets_go_sooner_and_reservoirs_hold_it_longer() -> None:
    small, great = predict_leak_off((MOSS,), STEEP, 0.15, 0.1), predict_leak_off((MOSS,), STEEP, 0.15, 0.4)
    assert small.soonest_s is not None and great.soonest_s is not None and small.latest_s is not None
    assert great.soonest_s == pytest.approx(small.soonest_s / 4, rel=0.01)
    assert small.latest_s > 2 * small.soonest_s


def test_on_the_level_it_never_moves_and_too_steep_it_moves_at_once() -> None:
    assert predict_leak_off((MOSS,), 0.0, 0.15, 0.1).soonest_s is None
    assert predict_leak_off((MOSS,), 0.149, 0.05, 0.1).soonest_s == 0.0
