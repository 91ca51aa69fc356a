"""Long runs of the fine solver against exact steady flows: isothermal with friction, Fanno, leaks along a pipe."""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
import pytest

from headstock.physics.fine import advance
from headstock.physics.fine_grid import grid_of
from headstock.physics.friction import darcy_factor
from headstock.physics.pipe_network import Brake, Piece, PipeNetwork, Probe, ValveSetting, open_to_atmosphere
from tests.accuracy.air_bench import BORE_M, FULL_PA, LOW_PA, R_AIR, WARM_K, bare_pipe, cell_pa, held_at, moving_air, two_ends
from tests.accuracy.exact_pipes import (
    area_of,
    isothermal_flux,
    isothermal_inlet_pa,
    isothermal_outlet_pa,
    leak_share,
    open_pipe,
    pressures_past_leaks,
)
from tests.accuracy.exact_vessels import CHOKED

closed_form = pytest.mark.outside(source="closed form", clause="steady pipe flow", status="computed")
AREA = area_of(BORE_M)
RT = R_AIR * WARM_K


def _between_nozzles(cell_m: float) -> tuple[np.ndarray, np.ndarray, float]:
    """Pressures and fluxes of 100 m between choked nozzles sized for 6.01325 and 5.51325 bar; the exact flux."""
    flux = isothermal_flux(FULL_PA, 551325.0, 0.022 * 100 / BORE_M, WARM_K)
    at_rest = 551325.0 * exp(flux**2 * RT / 551325.0**2 / 2)
    grid = bare_pipe(100.0, cell_m, 0.022 / BORE_M, **two_ends(100.0))
    feed = ValveSetting(2e6, flux * AREA * sqrt(RT) / 2e6 / CHOKED)
    outlet = ValveSetting(exhaust_area_m2=flux * AREA * sqrt(RT) / at_rest / CHOKED)
    state = moving_air(grid, np.linspace(FULL_PA, 551325.0, grid.cells), valves=(feed, outlet))
    end = advance(grid, state, (), 60.0, "isothermal").state
    return cell_pa(grid, end, False), end.cells[1], flux


@closed_form
def test_a_long_pipe_settles_to_the_exact_law_with_the_logarithm() -> None:
    # Measured, cells of 1, 0.5, 0.25 m: pressures along the pipe 6e-8, 3e-8, 2e-8; end cells 4e-4, 2e-4, 1e-4 (first order:
    # a cell's middle lies half a cell from the face).
    ends = []
    for cell_m in (1.0, 0.5):
        p, flux, exact = _between_nozzles(cell_m)
        assert exact * AREA == pytest.approx(0.0801707, abs=6e-8)
        first, last = 4, len(p) - 5
        assert p[last] == pytest.approx(
            isothermal_outlet_pa(p[first], exact, 0.022 / BORE_M * (last - first) * cell_m, WARM_K), rel=1e-6
        )
        assert flux[2:-2] == pytest.approx(exact, rel=1e-5)
        ends.append(p[-1] / 551325.0 - 1)
        assert p[0] == pytest.approx(FULL_PA, rel=5e-4)
    assert ends[0] / ends[1] == pytest.approx(2.0, rel=0.05)


@closed_form
@pytest.mark.parametrize(
    ("length_m", "cell_m", "within"), [(1.0, 0.025, 5e-4), (5.0, 0.1, 1e-3), (20.0, 0.25, 1.2e-3), (50.0, 0.5, 1e-3)]
)
def test_a_fed_pipe_open_at_its_end_passes_the_exact_flow_without_heat(length_m: float, cell_m: float, within: float) -> None:
    # An opening as wide as the pipe is a lossless nozzle. Measured: 2.9e-4, 8e-4, 9e-4, 3e-4 above; halving the cells of the
    # short ones takes it to 1.1e-4 and 3.1e-4: order 1.4 (the end is choked).
    grid = bare_pipe(length_m, cell_m, 0.02 / BORE_M, **two_ends(length_m))
    valves = (ValveSetting(FULL_PA, AREA), open_to_atmosphere(AREA))
    state = moving_air(grid, np.linspace(FULL_PA, 2 * LOW_PA, grid.cells), valves=valves)
    settled = max(0.5, 0.04 * length_m)
    before = advance(grid, state, (), settled, "heat-transfer").state
    after = advance(grid, before, (), settled + 0.1, "heat-transfer").state
    fed, out = (after.tally - before.tally)[:2] / 0.1
    exact = open_pipe(FULL_PA, WARM_K, 0.02 * length_m / BORE_M, LOW_PA)[2] * AREA
    assert (fed, out) == pytest.approx((exact, exact), rel=within)


@closed_form
@pytest.mark.parametrize(("length_m", "within"), [(20.0, 3e-3), (50.0, 2e-3), (100.0, 2e-3), (200.0, 1e-3)])
def test_a_fed_pipe_open_at_its_end_passes_the_exact_isothermal_flow(length_m: float, within: float) -> None:
    # Not held to it below 20 m: the opening chokes as a nozzle does, 0.9 % under the isothermal limit at 1 m.
    grid = bare_pipe(length_m, 0.5, 0.02 / BORE_M, **two_ends(length_m))
    state = moving_air(
        grid, np.sqrt(np.linspace(FULL_PA**2, LOW_PA**2, grid.cells)), valves=(held_at(FULL_PA, 0.1), open_to_atmosphere(AREA))
    )
    settled = 0.08 * length_m
    before = advance(grid, state, (), settled, "isothermal").state
    after = advance(grid, before, (), settled + 0.5, "isothermal").state
    exact = isothermal_flux(FULL_PA, LOW_PA, 0.02 * length_m / BORE_M, WARM_K) * AREA
    assert (after.tally - before.tally)[1] / 0.5 == pytest.approx(exact, rel=within)


@closed_form
def test_a_rough_pipe_has_the_friction_of_its_roughness_and_bore() -> None:
    flux, length = 0.05 / AREA, 100.0
    grid = grid_of(PipeNetwork((Piece(length, BORE_M, 4.6e-5, 3.0),), valves_at_m=(0.0, length), ambient_k=WARM_K), 1.0)
    feed = ValveSetting(2e6, flux * AREA * sqrt(RT) / 2e6 / CHOKED)
    state = moving_air(grid, FULL_PA, valves=(feed, ValveSetting(exhaust_area_m2=flux * AREA * sqrt(RT) / 5.8e5 / CHOKED)))
    p = cell_pa(grid, advance(grid, state, (), 60.0, "isothermal").state, False)
    factor = darcy_factor(flux * BORE_M / 1.8134e-5, 4.6e-5 / BORE_M)
    assert factor == pytest.approx(0.0234, abs=3e-4)
    share = 90.0 / length
    exact = isothermal_inlet_pa(p[94], flux, share * (factor * length / BORE_M + 3.0), WARM_K)
    assert p[4] - p[94] == pytest.approx(exact - p[94], rel=1e-3)


def _leaks(count: int, flow: float) -> tuple[list[float], float]:
    """Pressures at equal leaks at the ends of equal sections of 160 m fed at 6.01325 bar, inlet pressure first; total flow."""
    length = 160.0
    each = flow * sqrt(RT) / FULL_PA / CHOKED / count
    places = [length * (k + 1) / count for k in range(count)]
    brakes = tuple(Brake(place, 0, 0, 0, 0, False, 0, 0, 0, 1, 1, each) for place in places)
    grid = bare_pipe(length, 0.5, 0.03 / BORE_M, valves_at_m=(0.0,), brakes=brakes)
    state = moving_air(grid, FULL_PA, valves=(held_at(FULL_PA, 0.01),))
    probes = (Probe("valve"), *(Probe("branch", k) for k in range(count)))
    result = advance(grid, state, (), 40.0, "isothermal", probes, 1.0)
    before = advance(grid, state, (), 39.0, "isothermal").state
    return list(result.readings_pa[-1]), float((result.state.tally - before.tally)[0])


@closed_form
@pytest.mark.parametrize("count", [1, 2, 8, 40])
def test_leaks_along_a_pipe_cost_the_exact_gradient(count: int) -> None:
    # No pressure comes back where gas is drawn off: with recovery the fall would be 0.9 mbar less of 22 (4 %).
    pressures, inflow = _leaks(count, 0.02)
    take = CHOKED * 0.02 * sqrt(RT) / FULL_PA / CHOKED / count / sqrt(RT)
    places = [160.0 * (k + 1) / count for k in range(count)]
    places[-1] -= 0.5  # the last face inside the pipe
    exact, flow = pressures_past_leaks(pressures[0], places, [take] * count, 0.03 / BORE_M, BORE_M, WARM_K)
    assert inflow == pytest.approx(flow, rel=1e-3)
    assert pressures[0] - pressures[-1] == pytest.approx(pressures[0] - exact[-1], rel=5e-3)
    law = leak_share(count) * 0.03 * 160 / BORE_M * RT * (inflow / AREA) ** 2
    assert pressures[0] ** 2 - pressures[-1] ** 2 == pytest.approx(law, rel=0.015)


@closed_form
def test_a_leak_half_way_costs_half_of_one_at_the_far_end() -> None:
    each = 0.02 * sqrt(RT) / FULL_PA / CHOKED
    falls = []
    for place in (80.0, 160.0):
        leak = Brake(place, 0, 0, 0, 0, False, 0, 0, 0, 1, 1, each)
        grid = bare_pipe(160.0, 0.5, 0.03 / BORE_M, valves_at_m=(0.0,), brakes=(leak,))
        state = moving_air(grid, FULL_PA, valves=(held_at(FULL_PA, 0.01),))
        falls.append(FULL_PA - cell_pa(grid, advance(grid, state, (), 40.0, "isothermal").state, False)[-1])
    take = 0.02 / FULL_PA
    exact = [
        FULL_PA - pressures_past_leaks(FULL_PA, [place], [take], 0.03 / BORE_M, BORE_M, WARM_K)[0][0] for place in (80.0, 159.5)
    ]
    assert falls == pytest.approx(exact, rel=5e-3)  # half a cell of friction beside the leak: 0.4 % measured
    # Of a flow that does not change: half. A choked leak passes a little less where the pressure is lower.
    assert falls[0] / falls[1] == pytest.approx(0.5, rel=0.015)
