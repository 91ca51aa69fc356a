"""Main reservoirs: a dead one joined to a live one, the governor's band, and what the springs of a parking brake make of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi

import numpy as np
import pytest

from headstock.physics.distributor import Gear, Vessel, VesselSetting
from headstock.physics.fast import FastResult, GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.pipe_network import SHUT, Change, Gate, GateSetting, Piece, PipeNetwork, Probe
from headstock.physics.volumes import equalised_pa, least_charging_time_s
from tests.accuracy.gear_bench import TWO_PIPE, at_rest, feeds, gauge, pa, passes, train

boyle = pytest.mark.outside(source="closed form", clause="two volumes joined, isothermal", status="computed")
PSI_BAR = 0.0689476
# Invented: two units of 60 m, a reservoir of 0.3 m3 each, spring cylinders of 5 l that hold off above 4.5 bar.
LENGTH_M, BORE_M, MAIN_M3, SPRING_M3, OFF_BAR = 60.0, 0.025, 0.3, 5e-3, 4.5
MAIN = Vessel(5.0, MAIN_M3, 300e-6, compressor_kg_s=0.02, starts_pa=pa(8.5), stops_pa=pa(10.0))
LIVE, DEAD, SPRINGS, CHECKED, FAR_SPRINGS = range(5)


@cache
def joined(compressor: bool, until_s: float = 200.0) -> FastResult:
    """A unit at 8.5 bar and a dead empty one, joined at 5 s: reservoirs; springs behind a choke or a check valve."""
    far_m = 2 * LENGTH_M - 5.0
    vessels = (
        MAIN, replace(MAIN, at_m=far_m, compressor_kg_s=0.0), Vessel(20.0, SPRING_M3, 3e-6), Vessel(25.0, SPRING_M3, 3e-6, False),
        Vessel(far_m - 15.0, SPRING_M3, 3e-6),
    )  # fmt: skip
    network = PipeNetwork(
        (Piece(2 * LENGTH_M, BORE_M, 5e-5),), (Gate(LENGTH_M, pi / 4 * BORE_M**2),), (0.0, 2 * LENGTH_M), gear=Gear(vessels)
    )
    grid = fast_grid_of([network])
    half = (grid.edges_m[:-1] + grid.edges_m[1:]) / 2 < LENGTH_M
    levels = np.array([[pa(8.5)], [pa(0.0)], [pa(8.5)], [pa(8.5)], [pa(0.0)]])
    start = GearStart(levels, vessels=((VesselSetting(compressor=compressor), *(VesselSetting(),) * 4),))
    state = still_air_fast(
        grid, np.where(half, pa(8.5), pa(0.0))[:, None], 0.0, 0.0, 0.0, ((GateSetting(0.0),),), ((SHUT, SHUT),), start
    )
    probes = tuple(Probe("vessel", number) for number in range(5))
    run = advance_fast(grid, state, [[Change(5.0, 0, GateSetting())]], until_s, probes)
    assert abs(run.mass_balance[0]) < 1e-11
    return run


@boyle
def test_a_dead_main_reservoir_takes_its_half_and_the_live_one_falls_below_what_holds_the_springs_off() -> None:
    run = joined(compressor=False)
    pipe_m3 = LENGTH_M * pi / 4 * BORE_M**2
    unit_m3 = MAIN_M3 + pipe_m3 + SPRING_M3
    even = (equalised_pa(pa(8.5), unit_m3, pa(0.0), unit_m3) - pa(0.0)) / 1e5
    assert gauge(run, LIVE)[run.t_s < 5.0].min() == pytest.approx(8.5, abs=1e-6)
    for one in (LIVE, DEAD, SPRINGS, FAR_SPRINGS):
        assert gauge(run, one)[-1] == pytest.approx(even, abs=0.02) and even < OFF_BAR
    assert gauge(run, CHECKED)[-1] == pytest.approx(8.5, abs=1e-6), "a check valve keeps what it has"
    assert all(5.0 < passes(run, OFF_BAR, one, rising=False) < 60.0 for one in (LIVE, SPRINGS)), "the parking brake is on"
    assert gauge(run, LIVE)[run.t_s > 60.0].max() < OFF_BAR, "it does not come back by itself"


@boyle
def test_with_its_compressor_the_live_one_comes_back_no_sooner_than_the_delivery_allows() -> None:
    run = joined(compressor=True, until_s=900.0)
    assert gauge(run, LIVE).min() < 5.0
    back_s = passes(run, 8.5, DEAD)
    free_m3_s = MAIN.compressor_kg_s * 287.05 * 288.15 / pa(0.0)
    both_m3 = 2 * (MAIN_M3 + LENGTH_M * pi / 4 * BORE_M**2 + SPRING_M3)
    least_s = least_charging_time_s(both_m3, 8.5e5 - 4.25e5, free_m3_s, pa(0.0))
    assert least_s <= back_s - 5.0 < 1.05 * least_s
    assert gauge(run, FAR_SPRINGS)[-1] > 8.3, "the dead unit's springs are off too"


@pytest.mark.outside(source="49 CFR 229.49", clause="(b), (c), compressor governor", status="read")
def test_a_governor_that_is_set_as_the_rule_says_keeps_within_its_band() -> None:
    # Starts 15 psi or more above the brake pipe, stops 10 psi or more above that; 5 psi to either side of the maximum.
    assert pa(8.5) - pa(5.0) >= 15 * PSI_BAR * 1e5 and MAIN.stops_pa - MAIN.starts_pa >= 10 * PSI_BAR * 1e5
    stand = at_rest([train(TWO_PIPE, 2, main_reservoir=MAIN)], 5.0, 9.0)
    number = len(stand.grid.networks[0].gear.vessels) - 1
    draws = Change(0.0, number, VesselSetting(vent_m2=4e-6))
    run = stand.run([[draws]], 1500.0, (Probe("vessel", number),))
    level = gauge(run)
    assert level.max() == pytest.approx(10.0, abs=5 * PSI_BAR) and level[run.t_s > 200.0].min() == pytest.approx(8.5, abs=0.1)
    turns = np.flatnonzero(np.diff(np.sign(np.diff(level[run.t_s > 100.0]))))
    assert 4 <= turns.size <= 40, "it neither stays on nor chatters"


@boyle
def test_a_wide_cab_valve_shares_what_little_air_there_is_and_never_draws_its_source_below_the_pipe() -> None:
    # No reservoir, no compressor: the main pipe's own air, through a valve that could pass far more in one step.
    network = replace_gear(train(replace(TWO_PIPE, leak_mm2=0.0), 3))
    source = Probe("branch", 3)
    run = at_rest([network], 0.0, 8.5).run([[Change(1.0, 0, feeds(700e-6, 7.0))]], 60.0, (Probe("valve", 0), source))
    pipe_m3 = sum(piece.length_m * piece.area_m2 for piece in network.pieces) / 2
    shared = (equalised_pa(pa(8.5), pipe_m3, pa(0.0), pipe_m3) - pa(0.0)) / 1e5
    assert [gauge(run, k)[-1] for k in (0, 1)] == pytest.approx([shared, shared], abs=0.02)
    filling = run.t_s < passes(run, 0.9 * shared, 0)
    assert np.all(gauge(run, 1)[filling] > gauge(run, 0)[filling] - 0.01) and run.steps < 600
    assert abs(run.mass_balance[0]) < 1e-11


def replace_gear(network: PipeNetwork) -> PipeNetwork:
    """The two pipes with their feed, and nothing that hangs on them."""
    return replace(network, gear=replace(network.gear, vessels=(), distributors=()))


@boyle
def test_a_backed_reservoir_takes_from_the_pipe_that_feeds_it_and_from_no_other() -> None:
    network = train(replace(TWO_PIPE, leak_mm2=0.0, bulb=None), 1)
    gear = network.gear
    brake_m = gear.distributors[0].at_m
    backed = tuple(replace(v, backed_at_m=brake_m, backed_choke_m2=4e-6) if n == 1 else v for n, v in enumerate(gear.vessels))
    stand = at_rest([replace(network, gear=replace(gear, vessels=backed))], 5.0, 0.0)
    run = stand.run([[Change(0.0, 0, SHUT)]], 120.0, (Probe("branch", 0), Probe("branch", 1), Probe("vessel", 1)))
    pipe_m3 = network.pieces[0].length_m * network.pieces[0].area_m2
    assert gauge(run, 0)[-1] < 4.0 and np.ptp(gauge(run, 1)) < 1e-6, "the brake pipe gives, the main pipe is left alone"
    assert gauge(run, 0)[-1] == pytest.approx(gauge(run, 2)[-1], abs=0.05) and pipe_m3 < backed[1].volume_m3
    assert abs(run.mass_balance[0]) < 1e-11
