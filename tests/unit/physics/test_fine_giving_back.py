"""A chamber that gives air back makes the pipe as large as both, until the brake would have applied."""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt

import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fine import FineResult, advance, still_air
from headstock.physics.fine_cells import CV
from headstock.physics.fine_grid import grid_of
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import CHOKED_COEFFICIENT
from headstock.physics.pipe_network import ATMOSPHERE_PA, Brake, GasModel, Piece, PipeNetwork, Probe

FULL_PA = 5e5 + ATMOSPHERE_PA
LEAKING = Brake(5.0, 4e-3, 6e-6, 75e-3, 0.0, False, 10e-3, 2.4, 3.8e5, 1.3, 7.5, leak_area_m2=1e-7)
PROBES = (Probe("rear"), Probe("chamber"))


def network(gives_back_pa: float) -> PipeNetwork:
    return PipeNetwork((Piece(10.0, 0.0254, 5e-5),), brakes=(replace(LEAKING, gives_back_pa=gives_back_pa),))


def leaked(gives_back_pa: float, gas: GasModel = "isothermal", chamber_pa: float = FULL_PA) -> FineResult:
    grid = grid_of(network(gives_back_pa), 1.0)
    return advance(grid, still_air(grid, FULL_PA, chamber_pa, FULL_PA, 0.0), (), 20.0, gas, PROBES, 0.5)


@pytest.mark.parametrize(("gives_back_pa", "chamber_share"), [(0.0, 0.0), (6000.0, 1.0)])
def test_a_leak_empties_what_is_joined_to_the_pipe(gives_back_pa: float, chamber_share: float) -> None:
    """Closed form: choked outflow of a vessel at one temperature, ln(p0/p) = C A sqrt(R T) t / V."""
    one = network(gives_back_pa)
    volume_m3 = one.pieces[0].area_m2 * 10.0 + chamber_share * LEAKING.chamber_m3
    fall = CHOKED_COEFFICIENT * LEAKING.leak_area_m2 * sqrt(GAS_CONSTANT_J_KG_K * one.ambient_k) * 20.0 / volume_m3
    result = leaked(gives_back_pa)
    assert log(FULL_PA / result.at(20.0, 0)) == pytest.approx(fall, rel=0.01)
    assert abs(result.mass_balance) < 1e-12


def test_with_heat_the_air_that_comes_back_is_as_warm_as_all_around() -> None:
    """It comes in at one place and leaks out at another: between them the pipe is warmer than the dead end that only expands."""
    giving = Brake(2.5, 4e-3, 2e-5, 75e-3, 0.0, False, 10e-3, 2.4, 3.8e5, 1.3, 7.5, gives_back_pa=1e9)
    leaking = Brake(7.5, 0.0, 0.0, 75e-3, 0.0, False, 10e-3, 0.0, 0.0, 1.0, 1.0, leak_area_m2=5e-6)
    grid = grid_of(PipeNetwork((Piece(10.0, 0.0254, 5e-5),), brakes=(giving, leaking)), 0.5)
    result = advance(grid, still_air(grid, FULL_PA, FULL_PA, FULL_PA, 0.0), (), 4.0, "heat-transfer", PROBES, 0.5)
    density, momentum, energy = result.state.cells
    kelvin = (energy - 0.5 * momentum**2 / density) / density / CV
    assert kelvin[5] > kelvin[:4].max() + 15.0, "seen: 23 K; 5 K where it came in as cold as the pipe"
    assert kelvin.max() < grid.network.ambient_k
    assert abs(result.mass_balance) < 1e-12


def test_a_chamber_so_far_above_that_the_brake_has_applied_keeps_its_air() -> None:
    held = leaked(6000.0, chamber_pa=FULL_PA + 7000.0)
    assert held.at(20.0, 1) == FULL_PA + 7000.0
    given = leaked(6000.0, chamber_pa=FULL_PA + 5000.0)
    assert given.at(5.0, 0) < given.at(5.0, 1) < FULL_PA + 5000.0


def test_the_fast_solver_says_that_it_has_distributors_for_this() -> None:
    with pytest.raises(OutsideModelError, match="distributors"):
        fast_grid_of([network(6000.0)])
