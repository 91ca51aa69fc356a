"""A supply let into an empty pipe, or a cock opened on one: the strongest fronts there are, in both gas models."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    Change,
    GasModel,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    Probe,
    ValveSetting,
)

SUPPLY_PA, AREA_M2 = 951325.0, pi / 4 * 0.0254**2
ENDS = (Probe("front"), Probe("rear"))
GASES = pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])


def pipe(gate_m2: float = 0.0) -> FineGrid:
    gates = (Gate(20.0, gate_m2),) if gate_m2 else ()
    return grid_of(PipeNetwork((Piece(40.0, 0.0254, 5e-5),), gates, (0.0,)))


def feed(area_m2: float) -> tuple[Change, ...]:
    return (Change(0.0, 0, ValveSetting(supply_pa=SUPPLY_PA, feed_area_m2=area_m2, feed_to_pa=6e5)),)


@pytest.mark.outside(source="closed form", clause="choked nozzle: the flow hangs on the supply alone", status="computed")
@GASES
@pytest.mark.parametrize(("area_m2", "until_s"), [(50e-6, 0.04), (100e-6, 0.02), (200e-6, 0.004)])
def test_an_empty_pipe_takes_what_a_choked_valve_passes(gas: GasModel, area_m2: float, until_s: float) -> None:
    grid = pipe()
    result = advance(grid, still_air(grid, ATMOSPHERE_PA, 0.0, 0.0, 0.0), feed(area_m2), until_s, gas, ENDS)
    expected_kg = until_s * mass_flow_kg_s(area_m2, SUPPLY_PA, ATMOSPHERE_PA, 288.15)
    assert result.readings_pa.max() < 0.528 * SUPPLY_PA, "choked throughout"
    assert result.state.tally[0] == pytest.approx(expected_kg, rel=1e-6)


@GASES
@pytest.mark.parametrize("start_bar", [0.0, -0.5])
@pytest.mark.parametrize("area_m2", [200e-6, 2000e-6])
def test_an_empty_pipe_fills_to_the_valve_s_limit_and_what_its_rush_adds(gas: GasModel, start_bar: float, area_m2: float) -> None:
    grid = pipe()
    state = still_air(grid, ATMOSPHERE_PA + start_bar * 1e5, 0.0, 0.0, 0.0)
    result = advance(grid, state, feed(area_m2), 20.0, gas, ENDS)
    # Shut at once by its own limit, the valve holds what the gas on the move piles up behind it: some tenths of a bar.
    assert np.all((result.readings_pa[-1] > 5.99e5) & (result.readings_pa[-1] < 6.3e5))
    assert result.readings_pa.max() < SUPPLY_PA
    assert abs(result.mass_balance) < 1e-12


@GASES
@pytest.mark.parametrize("share", [0.3, 0.9, 1.0])
def test_a_cock_opened_on_an_empty_pipe_evens_both_sides(gas: GasModel, share: float) -> None:
    grid = pipe(0.7 * AREA_M2)
    start_pa = np.where(np.arange(grid.cells) < grid.cells // 2, 11e5, 1e5)
    state = still_air(grid, start_pa, 0.0, 0.0, 0.0, [GateSetting(0.0)])
    opened = (Change(0.1, 0, GateSetting(share)),)
    result = advance(grid, state, opened, 20.0, gas, ENDS)
    assert result.readings_pa[-1] == pytest.approx(np.full(2, 6e5), rel=2e-3)
    assert abs(result.mass_balance) < 1e-12
