"""What is no gas is refused by name; it never comes out as a number that is none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.fine import AirState, advance, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.pipe_network import Brake, Piece, PipeNetwork, Probe

BRAKE = Brake(5.0, 2e-3, 1e-6, 75e-3, 7e-6, True, 10e-3, 2.5, 3.8e5, 1.3, 7.5)
PROBES = [Probe("rear"), Probe("branch"), Probe("chamber"), Probe("reservoir"), Probe("cylinder")]


@pytest.fixture(scope="module")
def grid() -> FineGrid:
    return grid_of(PipeNetwork((Piece(10.0, 0.0254, 5e-5),), brakes=(BRAKE,)))


def still(grid: FineGrid) -> AirState:
    return still_air(grid, 6e5, 5e5, 5e5, 0.0)


@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize("value", [np.nan, np.inf, -1.0, 0.0])
def test_a_cell_that_is_no_gas_is_outside_the_model(grid: FineGrid, gas: str, value: float) -> None:
    state = still(grid)
    state.cells[0, 7] = value
    with pytest.raises(OutsideModelError, match=r"what a gas can be at 0\.000 s"):
        advance(grid, state, (), 0.1, gas, PROBES)  # type: ignore[arg-type]


@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize("row", [0, 1], ids=["chamber", "reservoir"])
def test_a_vessel_without_a_number_is_outside_the_model(grid: FineGrid, gas: str, row: int) -> None:
    state = still(grid)
    state.vessels[row, 0] = np.nan
    with pytest.raises(OutsideModelError, match="what a gas can be"):
        advance(grid, state, (), 0.1, gas, PROBES)  # type: ignore[arg-type]


def test_a_gas_that_gets_too_cold_on_the_way_is_outside_the_model(grid: FineGrid) -> None:
    state = still(grid)
    cold = replace(state, cells=state.cells.copy())
    cold.cells[2, :] *= 1e-3
    with pytest.raises(OutsideModelError):
        advance(grid, cold, (), 0.1, "heat-transfer", PROBES)


def test_a_sound_state_is_not_refused(grid: FineGrid) -> None:
    result = advance(grid, still(grid), (), 0.1, "heat-transfer", PROBES)
    assert np.all(np.isfinite(result.readings_pa))
