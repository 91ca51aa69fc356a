"""What a probe reads before the first step is the gas's own pressure, warm or cold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import Brake, Piece, PipeNetwork, Probe

BRAKE = Brake(10.0, 0.0, 0.0, 0.0, 0.0, False, 0.0, 0.0, 0.0, 1.0, 1.0)
GRID = grid_of(PipeNetwork((Piece(20.0, 0.025, 5e-5),), brakes=(BRAKE,)))
PROBES = (Probe("branch"), Probe("front"))


def test_going_on_with_warm_gas_the_first_reading_of_a_branch_is_its_pressure_and_not_that_of_cool_gas() -> None:
    still = still_air(GRID, 5e5, 0.0, 0.0, 0.0)
    warm = replace(still, cells=still.cells * [[1.0], [1.0], [1.1]])
    branch, front = advance(GRID, warm, (), 0.01, "heat-transfer", PROBES).readings_pa[0]
    assert branch == pytest.approx(5.5e5)
    assert front == pytest.approx(5.5e5)


def test_with_no_warmth_of_its_own_it_is_what_the_density_says() -> None:
    branch, front = advance(GRID, still_air(GRID, 5e5, 0.0, 0.0, 0.0), (), 0.01, "isothermal", PROBES).readings_pa[0]
    assert (branch, front) == pytest.approx((5e5, 5e5))
