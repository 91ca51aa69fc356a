"""Blocks of scenarios, cut runs, mass, flutter: what the fast solver promises apart from being right."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.fast import FastResult, advance_fast, still_air_fast
from headstock.physics.fast_grid import FIT_RE, fast_grid_of
from headstock.physics.fast_nozzle import H0, H1, H2, H3, H4
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.friction import darcy_factor_of_term, roughness_term
from headstock.physics.orifice import flow_function
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    Brake,
    Change,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    Probe,
    ValveSetting,
    open_to_atmosphere,
)

VEHICLES, PITCH_M = 6, 21.2
PROBES = (Probe("front"), Probe("rear"), *(Probe("branch", n) for n in range(VEHICLES)), Probe("cylinder", 2))


def pa(bar: float) -> float:
    return bar * 1e5 + ATMOSPHERE_PA


def network(leak_mm2: float = 0.05, bore_m: float = 0.0254) -> PipeNetwork:
    pieces: list[Piece] = []
    for number in range(VEHICLES):
        pieces += [Piece(1.2, bore_m, 5e-5, 1.0)] * (number > 0) + [Piece(20.0, bore_m, 5e-5, 2.0)]
    gates = tuple(Gate(k * PITCH_M - 0.6, 3.5e-4) for k in range(1, VEHICLES))
    brakes = tuple(
        Brake(k * PITCH_M + 10.0, 2e-3, 1e-6, 75e-3, 7e-6, True, 10e-3, 2.53, 3.8e5, 1.33, 7.55, leak_mm2 / 1e6)
        for k in range(VEHICLES)
    )
    return PipeNetwork(tuple(pieces), gates, (0.0, VEHICLES * PITCH_M - 1.2), brakes)


def lines(scale: float = 1.0) -> tuple[Change, ...]:
    """Charge, lap, full application, recharge, tail open and shut."""
    release = ValveSetting(pa(8.5), scale * 200e-6, pa(5.0))
    full = ValveSetting(exhaust_area_m2=scale * 45e-6, exhaust_to_pa=pa(3.5))
    return (
        Change(0.0, 0, release), Change(90.0, 0, SHUT), Change(110.0, 0, full), Change(140.0, 0, release),
        Change(170.0, 1, open_to_atmosphere(1e-4)), Change(175.0, 1, SHUT),
    )  # fmt: skip


Block = list[tuple[PipeNetwork, tuple[GateSetting, ...], tuple[Change, ...]]]
OPEN = (GateSetting(),) * (VEHICLES - 1)


def run(block: Block, until_s: float = 200.0) -> FastResult:
    grid = fast_grid_of([net for net, _, _ in block])
    gates = tuple(settings for _, settings, _ in block)
    start = still_air_fast(grid, pa(0.0), pa(0.0), pa(0.0), 0.0, gates, ((SHUT, SHUT),) * len(block))
    return advance_fast(grid, start, [line for _, _, line in block], until_s, PROBES)


def varied(lanes: int) -> Block:
    dice = np.random.default_rng(5)
    block: Block = [(network(), OPEN, lines())]
    for _ in range(lanes - 1):
        gates = list(OPEN)
        gates[dice.integers(VEHICLES - 1)] = GateSetting(dice.uniform(0.1, 1.0))
        block.append((network(dice.uniform(0.0, 0.2)), tuple(gates), lines(dice.uniform(0.7, 1.4))))
    return block


def apart_mbar(one: FastResult, other: FastResult, lane: int, other_lane: int = 0) -> tuple[float, float]:
    t_s, other_s = one.times_of(lane), other.times_of(other_lane)
    wanted = np.arange(0.0, min(t_s[-1], other_s[-1]), 0.1)
    off = [
        np.interp(wanted, t_s, one.readings_pa[:, n, lane]) - np.interp(wanted, other_s, other.readings_pa[:, n, other_lane])
        for n in range(len(PROBES))
    ]
    size = np.abs(off) / 100.0
    return float(size.mean()), float(np.percentile(size, 99.9))


def test_every_lane_of_a_block_is_its_own_run() -> None:
    block = varied(8)
    together = run(block)
    assert np.all(np.abs(together.mass_balance) < 1e-11)
    for lane, scenario in enumerate(block):
        mean, most = apart_mbar(together, run([scenario]), lane)
        assert mean < 1.0 and most < 10.0, lane


def test_the_order_of_the_lanes_changes_nothing_and_the_same_again_is_the_same_to_the_last_bit() -> None:
    block = varied(5)
    one, again, turned = run(block), run(block), run(block[::-1])
    assert np.array_equal(one.readings_pa, again.readings_pa)
    assert one.steps == turned.steps
    np.testing.assert_allclose(one.readings_pa, turned.readings_pa[:, :, ::-1], rtol=1e-9)


def test_what_comes_out_for_a_lane_is_the_same_to_the_last_bit_whatever_stands_beside_it() -> None:
    block = varied(11)
    later = [(net, gates, tuple(replace(change, t_s=1.03 * change.t_s) for change in line)) for net, gates, line in block]
    one = run([block[3], block[0], block[7]])
    other = run([*later, block[7], later[2]])
    count = one.lane_steps[2]
    assert count == other.lane_steps[11] != other.lane_steps[7]
    assert np.array_equal(one.t_s[: count + 1, 2], other.t_s[: count + 1, 11])
    assert np.array_equal(one.readings_pa[: count + 1, :, 2], other.readings_pa[: count + 1, :, 11])


def test_mixed_times_cost_no_lane_more_steps() -> None:
    block = varied(8)
    mixed = [
        (net, gates, tuple(replace(c, t_s=c.t_s + k if c.t_s else 0.0) for c in line))
        for k, (net, gates, line) in enumerate(block)
    ]
    together = run(mixed)
    for lane, scenario in enumerate(mixed):
        assert together.lane_steps[lane] == pytest.approx(run([scenario]).steps, rel=0.02)


@pytest.mark.parametrize("cut_s", [1.7, 95.0, 113.3, 150.0])
def test_a_run_cut_in_two_goes_on_as_if_it_had_not_been(cut_s: float) -> None:
    grid = fast_grid_of([network()])
    start = still_air_fast(grid, pa(0.0), pa(0.0), pa(0.0), 0.0, (OPEN,), ((SHUT, SHUT),))
    whole = advance_fast(grid, start, (lines(),), 200.0, PROBES)
    first = advance_fast(grid, start, (lines(),), cut_s, PROBES)
    second = advance_fast(grid, first.state, ([change for change in lines() if change.t_s > cut_s],), 200.0, PROBES)
    wanted = np.arange(cut_s, 200.0, 0.1)
    off = [np.interp(wanted, second.t_s, second.readings_pa[:, n, 0]) - np.interp(wanted, whole.t_s, whole.readings_pa[:, n, 0])
           for n in range(len(PROBES))]  # fmt: skip
    assert np.abs(off).mean() < 100.0
    assert np.percentile(np.abs(off), 99.9) < 1000.0
    assert abs(second.mass_balance[0]) < 1e-11


def test_in_a_quiet_minute_the_steps_are_long() -> None:
    grid = fast_grid_of([network()])
    start = still_air_fast(grid, pa(5.0), pa(5.0), pa(5.0), 0.0, (OPEN,), ((SHUT, SHUT),))
    assert advance_fast(grid, start, ((),), 60.0).steps < 70


@pytest.mark.parametrize("scale", [0.7, 0.85, 0.97, 1.03, 1.09, 1.12, 1.2, 1.31, 1.4])
def test_no_width_of_the_valve_makes_it_flutter(scale: float) -> None:
    assert run([(network(), OPEN, lines(scale))]).steps < 1.5 * run([(network(), OPEN, lines())]).steps


def test_a_shut_gate_parts_the_pipe_and_its_vent_empties_its_own_side_as_the_fine_solver_says() -> None:
    net = network(0.0)
    gates = (GateSetting(), GateSetting(), GateSetting(0.0, 0.0, 2e-5), GateSetting(), GateSetting())
    grid = fast_grid_of([net])
    still = still_air_fast(grid, pa(5.0), pa(5.0), pa(5.0), 0.0, (gates,), ((SHUT, SHUT),))
    fast = advance_fast(grid, still, ((),), 20.0, PROBES)
    fine_grid = grid_of(net)
    fine = advance(fine_grid, still_air(fine_grid, pa(5.0), pa(5.0), pa(5.0), 0.0, gates), (), 20.0, "isothermal", PROBES, 0.05)
    front, rear = fast.readings_pa[-1, 0, 0], fast.readings_pa[-1, 1, 0]
    assert front == pytest.approx(pa(5.0), abs=1.0)
    assert rear < pa(4.0)
    assert rear == pytest.approx(fine.readings_pa[-1, 1], abs=500.0)
    assert abs(fast.mass_balance[0]) < 1e-11


def test_a_valve_on_a_branch_does_what_it_does_in_the_fine_solver() -> None:
    net = replace(network(), valves_at_m=(2.0, VEHICLES * PITCH_M - 3.2))
    full = ValveSetting(exhaust_area_m2=45e-6, exhaust_to_pa=pa(3.4))
    line = (Change(0.5, 1, full),)
    probes = (Probe("valve", 0), Probe("valve", 1))
    grid, fine_grid = fast_grid_of([net]), grid_of(net)
    still = still_air_fast(grid, pa(5.0), pa(5.0), pa(5.0), 0.0, (OPEN,), ((SHUT, SHUT),))
    fast = advance_fast(grid, still, (line,), 30.0, probes)
    fine = advance(fine_grid, still_air(fine_grid, pa(5.0), pa(5.0), pa(5.0), 0.0, OPEN), line, 30.0, "isothermal", probes, 0.02)
    wanted = np.arange(2.0, 30.0, 0.1)
    for n in range(2):
        off = np.interp(wanted, fast.t_s, fast.readings_pa[:, n, 0]) - np.interp(wanted, fine.t_s, fine.readings_pa[:, n])
        assert np.abs(off).mean() < 1500.0


@pytest.mark.parametrize("pipe_bar", [-2.0, float("nan")])
def test_nonsense_is_refused_with_its_time_and_never_answered(pipe_bar: float) -> None:
    grid = fast_grid_of([network()])
    start = still_air_fast(grid, pa(pipe_bar), pa(5.0), pa(5.0), 0.0, (OPEN,), ((SHUT, SHUT),))
    with pytest.raises(OutsideModelError, match=r"at 0\.000 s"):
        advance_fast(grid, start, ((),), 1.0)


def test_networks_of_another_shape_do_not_stand_side_by_side() -> None:
    with pytest.raises(OutsideModelError, match="same pieces"):
        fast_grid_of([network(), replace(network(), gates=())])


def test_the_cells_are_the_pipe_and_each_brake_hangs_in_the_middle_of_one() -> None:
    net = network()
    grid = fast_grid_of([net])
    assert grid.edges_m[0] == 0.0 and grid.edges_m[-1] == pytest.approx(net.length_m)
    assert np.all(np.diff(grid.edges_m) > 0.0)
    volume_m3 = float(np.sum(grid.cap) * grid.rt)
    assert volume_m3 == pytest.approx(sum(piece.area_m2 * piece.length_m for piece in net.pieces))
    for cell, brake in zip(grid.brake_cell, net.brakes, strict=True):
        assert 0.5 * (grid.edges_m[cell] + grid.edges_m[cell + 1]) == pytest.approx(brake.at_m)
    for face, gate in zip(grid.gate_face, net.gates, strict=True):
        assert grid.edges_m[face] == pytest.approx(gate.at_m)


def test_what_is_fitted_is_near_what_it_stands_for() -> None:
    term = roughness_term(5e-5 / 0.0254)
    fit = fast_grid_of([network()]).fit[:, 1, 0]
    root = np.sqrt(FIT_RE + 1.0)
    fitted = fit[0] * FIT_RE + fit[1] * root + fit[2] + fit[3] / root
    exact = [darcy_factor_of_term(float(re), term) * re for re in FIT_RE]
    np.testing.assert_allclose(fitted, exact, rtol=0.01)
    for ratio in np.linspace(0.53, 0.999, 60):
        psi = np.sqrt((1.0 - ratio) * np.polyval((H4, H3, H2, H1, H0), ratio))
        assert psi == pytest.approx(flow_function(float(ratio)), rel=1e-5)
