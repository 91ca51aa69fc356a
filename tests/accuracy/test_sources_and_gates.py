"""Single parts of the fine solver, each alone against its own closed form: wall heat and friction, a part-open gate, vents,
a cylinder, a valve's droop, air fed into a branch."""

from __future__ import annotations

from math import exp, log10, sqrt

import numpy as np
import pytest

from headstock.physics.fine import AirState, advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    Brake,
    Change,
    GasModel,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    Probe,
    ValveSetting,
)
from tests.accuracy.air_bench import BORE_M, CV, FULL_PA, R_AIR, WARM_K, bare_pipe, cell_pa, moving_air
from tests.accuracy.exact_pipes import area_of
from tests.accuracy.exact_vessels import CHOKED, nozzle
from tests.accuracy.exact_waves import root_of

closed_form = pytest.mark.outside(source="closed form", clause="one part at a time", status="computed")
own_steps = pytest.mark.outside(source="independent integration", clause="one cell of pipe, small steps", status="computed")
both_gases = pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
AREA = area_of(BORE_M)


def _conductivity(t: float) -> float:
    return 0.0241 * (t / 273.15) ** 0.81


def _one_cell(u: float, t: float, rho: float, roughness: float, until_s: float) -> tuple[float, float]:
    """Speed and temperature of uniform air in a pipe after a time: friction slows it, wall and friction warm it."""
    steps = 4000
    for _ in range(steps):
        mu = 1.716e-5 * (t / 273.15) ** 1.5 * 383.55 / (t + 110.4)
        reynolds = rho * u * BORE_M / mu
        factor, nusselt = 0.0, 3.66
        if reynolds > 4000:
            factor = (-1.8 * log10((roughness / BORE_M / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
            nusselt = 0.023 * reynolds**0.8 * 0.71**0.4
        slowing = factor / BORE_M * u * u / 2
        heat = 4 * nusselt * _conductivity(t) / BORE_M**2 * (WARM_K - t)
        u, t = u - slowing * until_s / steps, t + (heat / rho + slowing * u) / CV * until_s / steps
    return u, t


@own_steps
@pytest.mark.parametrize(("speed", "start_k"), [(0.0, 253.0), (0.0, 330.0), (20.0, 253.0), (40.0, 330.0)])
def test_wall_and_friction_warm_and_slow_the_air_as_they_must(speed: float, start_k: float) -> None:
    # Friction factor and heat number are worked out once a step. Measured: 1.8e-4 of the speed, 2e-3 of the warming.
    grid = grid_of(PipeNetwork((Piece(60.0, BORE_M, 5e-5),), ambient_k=WARM_K), 0.5)
    state = moving_air(grid, FULL_PA, speed, start_k)
    until = 0.07 if speed else 30.0
    end = advance(grid, state, (), until, "heat-transfer").state
    middle = grid.cells // 2
    rho, momentum, energy = end.cells[:, middle]
    u, t = _one_cell(speed, start_k, FULL_PA / R_AIR / start_k, 5e-5, until)
    assert rho == pytest.approx(FULL_PA / R_AIR / start_k, rel=1e-9)
    assert momentum / rho == pytest.approx(u, rel=5e-4, abs=1e-9)
    assert (energy / rho - 0.5 * (momentum / rho) ** 2) / CV - start_k == pytest.approx(t - start_k, rel=5e-3)


@closed_form
@both_gases
@pytest.mark.parametrize(("share", "flow"), [(0.1, 0.04), (0.3, 0.04), (0.9, 0.25)])
def test_a_part_open_gate_costs_what_its_area_says_and_gives_nothing_back(gas: GasModel, share: float, flow: float) -> None:
    # Between a choked feed and a choked outlet the flow and the pressure behind the gate are known.
    gate_area, at_rest = 0.7 * AREA, 3e5
    rt = R_AIR * WARM_K
    feed = ValveSetting(2e6, flow * sqrt(rt) / 2e6 / CHOKED)
    outlet = ValveSetting(exhaust_area_m2=flow * sqrt(rt) / at_rest / CHOKED)
    grid = bare_pipe(20.0, 0.5, valves_at_m=(0.0, 20.0), gates=(Gate(10.0, gate_area),))
    state = moving_air(grid, at_rest, gates=(GateSetting(share),), valves=(feed, outlet))
    end = advance(grid, state, (), 40.0, gas).state
    p, u = cell_pa(grid, end, gas != "isothermal"), end.cells[1] / end.cells[0]
    before, behind = grid.cells // 2 - 3, grid.cells // 2 + 3
    assert end.cells[1][behind] * AREA == pytest.approx(flow, rel=1e-5)
    raised = exp(u[before] ** 2 / 2 / rt)
    if gas == "heat-transfer":
        warm = p[before] / end.cells[0][before] / R_AIR
        raised = (1 + u[before] ** 2 / 2 / (3.5 * R_AIR * warm)) ** 3.5
    needed = root_of(lambda p0: share * gate_area * p0 / sqrt(rt) * nozzle(p[behind] / p0) - flow, p[behind], 1e7)
    assert p[before] * raised == pytest.approx(needed, rel=1e-5)


def test_a_shut_gate_vents_each_side_through_its_own_opening() -> None:
    grid = grid_of(PipeNetwork((Piece(20.0, BORE_M, 5e-5),), (Gate(10.0, 3e-4),)))
    for vents, side in ((GateSetting(0.0, 2e-4, 0.0), 0), (GateSetting(0.0, 0.0, 2e-4), 1)):
        state = still_air(grid, FULL_PA, 0.0, 0.0, 0.0, gates=(vents,))
        result = advance(grid, state, (), 3.0, "isothermal", (Probe("front"), Probe("rear")))
        assert result.readings_pa[-1, side] == pytest.approx(ATMOSPHERE_PA, rel=0.05)
        assert result.readings_pa[-1, 1 - side] == pytest.approx(FULL_PA, rel=1e-9)


@closed_form
def test_a_cylinder_fills_and_empties_with_its_own_time_each() -> None:
    brake = Brake(10.0, 0.002, 1e-6, 0.5, 7e-6, False, 0.004, 2.53, 3.8e5, 1.3, 7.5)
    grid = grid_of(PipeNetwork((Piece(20.0, BORE_M, 5e-5),), (), (0.0,), (brake,)))
    probes = (Probe("cylinder"), Probe("chamber"), Probe("branch"))
    state = still_air(grid, 351325.0, 601325.0, 901325.0, 0.0, valves=(ValveSetting(),))
    on = advance(grid, state, (), 2.0, "isothermal", probes)
    assert on.at(2.0, 0) - ATMOSPHERE_PA == pytest.approx(3.8e5 * (1 - exp(-2.0 / 1.3)), rel=1e-6)
    # The chamber brought down to the pipe: nothing holds the brake on.
    vessels = on.state.vessels.copy()
    vessels[0, 0] = on.readings_pa[-1, 2]
    eased = AirState(2.0, on.state.cells, vessels, on.state.gates, on.state.valves, on.state.tally, on.state.first_mass_kg)
    off = advance(grid, eased, (), 5.0, "isothermal", probes)
    assert off.at(5.0, 0) - ATMOSPHERE_PA == pytest.approx((on.at(2.0, 0) - ATMOSPHERE_PA) * exp(-3.0 / 7.5), rel=1e-4)


@closed_form
def test_a_cylinder_takes_gain_times_the_fall_and_its_air_from_the_reservoir() -> None:
    brake = Brake(10.0, 0.002, 1e-6, 0.02, 7e-6, True, 0.004, 2.0, 3.8e5, 0.5, 7.5)
    grid = grid_of(PipeNetwork((Piece(20.0, BORE_M, 5e-5),), (), (0.0,), (brake,)))
    state = still_air(grid, 501325.0, 601325.0, 601325.0, 0.0, valves=(ValveSetting(),))
    result = advance(grid, state, (), 10.0, "isothermal", (Probe("cylinder"), Probe("reservoir"), Probe("chamber")))
    cylinder, reservoir, chamber = result.readings_pa[-1]
    assert cylinder - ATMOSPHERE_PA == pytest.approx(2.0 * (601325.0 - 501325.0), rel=1e-3)
    assert (reservoir, chamber) == pytest.approx((601325.0 - 0.2 * (cylinder - ATMOSPHERE_PA), 601325.0), rel=1e-6)


@closed_form
@pytest.mark.parametrize("vessel", ["chamber", "reservoir"])
def test_a_vessel_on_a_branch_fills_through_its_choke_in_the_exact_time(vessel: str) -> None:
    # From a pipe that is held: p_v rises linearly while choked, R T A Gamma p / (V sqrt(R T)) a second.
    brake = Brake(4.0, 0.002, 1e-6, 0.02, 7e-6, True, 0.004, 0.0, 3.8e5, 1.0, 1.0)
    grid = bare_pipe(8.0, 0.5, valves_at_m=(0.0, 8.0), brakes=(brake,))
    held = ValveSetting(FULL_PA, 1e-3)
    start = ATMOSPHERE_PA
    state = moving_air(grid, FULL_PA, valves=(held, held))
    vessels = np.array([[start, 0.0], [start, 0.0], [0.0, 0.0]])
    state = AirState(0.0, state.cells, vessels, state.gates, state.valves, state.tally, state.first_mass_kg)
    until = 1.0
    result = advance(grid, state, (), until, "isothermal", (Probe(vessel), Probe("branch")))  # type: ignore[arg-type]
    area, volume = (1e-6, 0.002) if vessel == "chamber" else (7e-6, 0.02)
    rate = sqrt(R_AIR * WARM_K) * area * CHOKED * FULL_PA / volume
    assert result.readings_pa[-1, 0] - start == pytest.approx(rate * until, rel=2e-3)


@closed_form
def test_a_valve_gives_in_over_its_droop_in_proportion() -> None:
    # A leak of known flow at the far end of a wide short pipe: the valve feeds as much at one share of its area.
    flow, area, droop = 0.01, 2e-4, 1e4
    rt = R_AIR * WARM_K
    leak = flow * sqrt(rt) / 595000.0 / CHOKED
    grid = bare_pipe(4.0, 0.5, bore_m=0.1, valves_at_m=(0.0, 4.0))
    state = moving_air(
        grid, 595000.0, valves=(ValveSetting(951325.0, area, 601325.0, droop_pa=droop), ValveSetting(exhaust_area_m2=leak))
    )
    result = advance(grid, state, (), 20.0, "isothermal", (Probe("front"),), 0.01)

    def excess(p: float) -> float:
        return area * (601325.0 - p) / droop * 951325.0 * nozzle(p / 951325.0) / sqrt(rt) - leak * p * CHOKED / sqrt(rt)

    assert result.readings_pa[-1, 0] == pytest.approx(root_of(excess, 591325.0, 601325.0), abs=5.0)
    state = moving_air(
        grid, 500000.0, valves=(ValveSetting(exhaust_area_m2=area, exhaust_to_pa=451325.0), ValveSetting(5e6, leak))
    )
    result = advance(grid, state, (), 20.0, "isothermal", (Probe("front"),), 0.01)
    fed = leak * 5e6 * CHOKED / sqrt(rt)
    held = root_of(lambda p: area * (p - 451325.0) / droop * p * CHOKED / sqrt(rt) - fed, 451325.0, 461325.0)
    assert result.readings_pa[-1, 0] == pytest.approx(held, abs=5.0)


@closed_form
def test_energy_is_kept_where_gas_is_fed_drawn_and_throttled() -> None:
    # No wall heat, all at one stagnation temperature: what flows in steadily flows out with that of the supply.
    flow, rt = 0.05, R_AIR * WARM_K
    fed_half = ValveSetting(2e6, 0.5 * flow * sqrt(rt) / 2e6 / CHOKED)
    outlet = ValveSetting(exhaust_area_m2=0.7 * flow * sqrt(rt) / 3e5 / CHOKED)
    grid = bare_pipe(20.0, 0.5, valves_at_m=(0.0, 6.0, 12.0, 20.0), gates=(Gate(16.0, 4e-4),))
    drawn = ValveSetting(exhaust_area_m2=0.3 * flow * sqrt(rt) / 4e5 / CHOKED)
    state = moving_air(grid, 3e5, gates=(GateSetting(0.5),), valves=(fed_half, fed_half, drawn, outlet))
    end = advance(grid, state, (Change(0.0, 0, GateSetting(0.5)),), 15.0, "heat-transfer").state
    rho, momentum, energy = end.cells
    warmth = (1.4 * (energy / rho - 0.5 * (momentum / rho) ** 2) + 0.5 * (momentum / rho) ** 2) / (3.5 * R_AIR)
    assert warmth[2:-2] == pytest.approx(WARM_K, rel=1e-3)
