"""What a case means: places, areas and absolute pressures, worked out by hand from the contract."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest

from headstock.physics.pipe_network import ATMOSPHERE_PA, GateSetting, ValveSetting
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import air_run_of, pa_of

AREA_M2 = pi / 4 * 0.0254**2


def case(**keys: Any) -> AirCase:
    return AirCase.model_validate(keys)


def test_joints_and_devices_sit_where_the_contract_puts_them() -> None:
    network = air_run_of(case(vehicles=3)).grid.network
    assert network.length_m == pytest.approx(3 * 20 + 2 * 1.2)
    assert [gate.at_m for gate in network.gates] == pytest.approx([20.6, 41.8])
    assert [brake.at_m for brake in network.brakes] == pytest.approx([10.0, 31.2, 52.4])
    assert network.valves_at_m == pytest.approx((0.0, 62.4))
    assert network.gates[0].area_m2 == pytest.approx(0.7 * AREA_M2)


def test_every_loss_is_there_whatever_the_cells() -> None:
    for keys in ({}, {"pipe_length_m": 0.3}, {"hose_length_m": 0.0}, {"vehicles": 1}):
        made = case(vehicles=3, k_joint=1.5, k_vehicle=2.5).model_copy(update=keys)
        grid = air_run_of(made).grid
        expected = made.vehicles * 2.5 + (made.vehicles - 1) * 1.5
        assert np.sum(grid.loss_per_m) * grid.cell_m == pytest.approx(expected)


def test_gauge_bar_and_millimetres_are_translated_once() -> None:
    run = air_run_of(case(vehicles=2, initial_pipe_bar=4.0, initial_aux_bar=5.0, initial_cylinder_bar=[0.0, 2.0]))
    assert pa_of(0.0) == ATMOSPHERE_PA == 101325.0
    assert run.start.cells[0] * 287.05 * 288.15 == pytest.approx(np.full(run.grid.cells, 501325.0))
    assert run.start.vessels[:, :2] == pytest.approx(np.array([[501325.0] * 2, [601325.0] * 2, [0.0, 2e5]]))
    brake = run.grid.network.brakes[0]
    assert (brake.chamber_m3, brake.chamber_choke_m2, brake.reservoir_m3) == pytest.approx((2e-3, 1e-6, 75e-3))
    assert (brake.reservoir_choke_m2, brake.cylinder_m3, brake.cylinder_max_pa) == pytest.approx((7e-6, 10e-3, 3.8e5))
    assert brake.fed_by_pipe
    assert not air_run_of(case(two_pipe=True)).grid.network.brakes[0].fed_by_pipe


def test_a_vehicle_s_pressure_holds_to_the_middle_of_the_joint() -> None:
    run = air_run_of(case(vehicles=3, initial_pipe_bar=[5.0, 3.0, 1.0]))
    bar = (run.start.cells[0] * 287.05 * 288.15 - ATMOSPHERE_PA) / 1e5
    middle_m = (np.arange(run.grid.cells) + 0.5) * run.grid.cell_m
    assert bar[middle_m < 20.6] == pytest.approx(5.0)
    assert bar[(middle_m > 20.6) & (middle_m < 41.8)] == pytest.approx(3.0)
    assert bar[middle_m > 41.8] == pytest.approx(1.0)
    assert run.start.vessels[0, :3] == pytest.approx([601325.0, 401325.0, 201325.0]), "the chambers as the pipe"


def test_leaks_may_differ_between_vehicles() -> None:
    brakes = air_run_of(case(vehicles=2, leak_mm2=[0.0, 0.5])).grid.network.brakes
    assert [brake.leak_area_m2 for brake in brakes] == pytest.approx([0.0, 5e-7])


@pytest.mark.parametrize("keys", [
    {"pipe_length_m": 0.05}, {"pipe_length_m": 0.05, "hose_length_m": 0.0}, {"hose_length_m": 0.0},
    {"vehicles": 1, "pipe_length_m": 0.1},
    {"pipe_length_m": 3.0, "hose_length_m": 0.01}, {"vehicles": 1000},
])  # fmt: skip
def test_everything_has_a_face_of_its_own_near_its_place(keys: dict[str, Any]) -> None:
    made = case(**{"vehicles": 3, **keys})
    grid = air_run_of(made).grid
    network = grid.network
    assert grid.cell_m <= 0.5
    faces = [*grid.brake_face, *grid.valve_face, *grid.gate_face]
    assert len(set(faces)) == len(faces) == 2 * made.vehicles + 1
    for face, thing in zip((*grid.brake_face, *grid.gate_face), (*network.brakes, *network.gates), strict=True):
        assert abs(face * grid.cell_m - thing.at_m) <= 0.5001 * grid.cell_m
    assert list(grid.gate_face) == sorted(grid.gate_face)


def test_the_modes_of_the_driver_s_valve() -> None:
    modes = ("lap", "shut", "running", "release", "service", "full", "emergency")
    events = [{"t": number, "mode": mode} for number, mode in enumerate(modes)]
    settings = [change.to for change in air_run_of(case(valve=events)).timeline]
    let_out = ValveSetting(exhaust_area_m2=45e-6, exhaust_to_pa=pa_of(3.5), droop_pa=1e4)
    expected = [
        ValveSetting(), ValveSetting(), ValveSetting(supply_pa=pa_of(5.0), feed_area_m2=100e-6),
        ValveSetting(supply_pa=pa_of(8.5), feed_area_m2=200e-6, feed_to_pa=pa_of(5.0), droop_pa=1e4), let_out, let_out,
        ValveSetting(exhaust_area_m2=400e-6),
    ]  # fmt: skip
    for setting, wanted in zip(settings, expected, strict=True):
        assert isinstance(setting, ValveSetting)
        for part in ("supply_pa", "feed_area_m2", "feed_to_pa", "exhaust_area_m2", "exhaust_to_pa", "droop_pa"):
            assert getattr(setting, part) == pytest.approx(getattr(wanted, part)), part


def test_what_happens_is_in_the_order_of_time_with_joints_counted_from_the_valve() -> None:
    run = air_run_of(case(
        vehicles=3, valve=[{"t": 2, "mode": "lap"}], rear=[{"t": 1, "open": 0.5}], cocks={"2": 0.25},
        cock_events=[{"t": 0.5, "joint": 1, "open": 0.0}, {"t": 3, "joint": 2, "open": 1.0}],
    ))  # fmt: skip
    assert [(change.t_s, change.number) for change in run.timeline] == [(0.5, 0), (1, 1), (2, 0), (3, 1)]
    assert run.timeline[0].to == GateSetting(0.0)
    rear = run.timeline[1].to
    assert isinstance(rear, ValveSetting)
    assert rear.exhaust_area_m2 == pytest.approx(0.35 * AREA_M2)
    assert run.start.gates == (GateSetting(1.0), GateSetting(0.25))


def test_each_place_is_read_once_and_counted_from_the_valve() -> None:
    asks = [
        {"kind": "value", "where": where, "t_s": 0} for where in ("front", "rear", "pipe2", "aux12", "cyl1", "chamber3", "rear")
    ]
    run = air_run_of(case(ask=asks))
    assert run.places == ("front", "rear", "pipe2", "aux12", "cyl1", "chamber3")
    assert [(probe.kind, probe.number) for probe in run.probes] == [
        ("front", 0), ("rear", 0), ("branch", 1), ("reservoir", 11), ("cylinder", 0), ("chamber", 2),
    ]  # fmt: skip
