"""An empty pipe is charged, however high the supply and wide the valve, and the air that comes in is the valve's."""

from __future__ import annotations

import numpy as np
import pytest

from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import ATMOSPHERE_PA, GasModel, Piece, PipeNetwork, Probe, ValveSetting


@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize(("supply_pa", "area_m2"), [(601325.0, 1e-4), (951325.0, 2e-4), (951325.0, 4.5e-4), (1101325.0, 5e-4)])
def test_an_empty_pipe_fills_from_a_high_supply(gas: GasModel, supply_pa: float, area_m2: float) -> None:
    grid = grid_of(PipeNetwork((Piece(50.0, 0.0254, 5e-5),), valves_at_m=(0.0,)))
    state = still_air(grid, ATMOSPHERE_PA, 0.0, 0.0, 0.0, valves=(ValveSetting(supply_pa, area_m2),))
    result = advance(grid, state, (), 8.0, gas, (Probe("front"), Probe("rear")), 0.01)
    assert result.at(0.05, 0) > 1.5 * ATMOSPHERE_PA
    assert result.at(8.0, 1) == pytest.approx(supply_pa, rel=0.04)  # it still swings
    assert np.all(result.readings_pa < 1.05 * supply_pa)
    assert abs(result.mass_balance) < 1e-12
