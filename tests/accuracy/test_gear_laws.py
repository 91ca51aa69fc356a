"""Laws that trains with brake gear must keep, and what happens in pipes that are shut, parted, joined, fed and left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import pi

import numpy as np
import pytest

from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.fast import FastResult, advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.pipe_network import (
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
from headstock.physics.volumes import isothermal_emptying_time_s, least_charging_time_s, time_constant_s
from tests.accuracy.gear_bench import (
    DIRECT,
    GRADUATED,
    TWO_PIPE,
    Kind,
    Vessel,
    at_rest,
    feeds,
    gauge,
    hole,
    lets_out,
    pa,
    passes,
    train,
)

RESERVOIR = Vessel(
    0.0, 0.3, 200e-6, compressor_kg_s=0.02, starts_pa=pa(8.5), stops_pa=pa(10.0), safety_m2=60e-6, safety_opens_pa=pa(10.7),
    safety_shuts_pa=pa(10.1),
)  # fmt: skip
MOVES = (Change(1.0, 0, lets_out(45e-6, 3.5)), Change(25.0, 0, feeds(95e-6)), Change(70.0, 0, lets_out(400e-6)))
closed_form = pytest.mark.outside(source="closed form", clause="nozzle, vessel, pipe with friction", status="computed")


def bare(
    length_m: float, bore_m: float, roughness_m: float, leaks: Sequence[float] = (), gates: tuple[Gate, ...] = ()
) -> PipeNetwork:
    """A pipe without brakes in pieces of 20 m, read and leaking in the middle of each."""
    count = round(length_m / 20.0)
    areas = leaks or [0.0] * count
    brakes = tuple(Brake(20.0 * k + 10.0, 0, 0, 0, 0, False, 0, 0, 0, 1, 1, areas[k]) for k in range(count))
    return PipeNetwork((Piece(20.0, bore_m, roughness_m),) * count, gates, (0.0, length_m), brakes, 293.15)


def run_bare(network: PipeNetwork, changes: Sequence[Change], until_s: float, probes: Sequence[Probe]) -> FastResult:
    gates = tuple(GateSetting() for _ in network.gates)
    state = still_air_fast(fast_grid_of([network]), pa(5.0), 0.0, 0.0, 0.0, (gates,), ((SHUT, SHUT),))
    return advance_fast(fast_grid_of([network]), state, [changes], until_s, probes)


@pytest.mark.outside(
    source="independent integration",
    clause="finite volumes on two grids, constant friction factor, bottled head",
    status="computed",
)
@pytest.mark.parametrize(("length_m", "rebound_bar"), [(160.0, 0.254), (600.0, 0.862)])
def test_a_cock_shut_while_the_head_still_lets_out_brings_the_head_up_again(length_m: float, rebound_bar: float) -> None:
    network = bare(length_m, 0.032, 2e-5, gates=(Gate(0.5, 1.0),))
    head = Change(0.0, 0, lets_out(hole(10.0)))
    ends = (Probe("front"), Probe("rear"), Probe("branch", 0))
    shut_s = passes(run_bare(network, [head], 30.0, ends), 3.5, rising=False)
    run = run_bare(network, [head, Change(shut_s, 0, GateSetting(0.0))], shut_s + 60.0, ends)
    at_shut = int(np.searchsorted(run.t_s, shut_s))
    assert gauge(run, 2)[-1] - 3.5 == pytest.approx(rebound_bar, abs=0.01)
    assert gauge(run, 1)[-1] < gauge(run, 1)[at_shut] and gauge(run, 1)[-1] == pytest.approx(gauge(run, 2)[-1], abs=1e-3)
    assert abs(run.mass_balance[0]) < 1e-11


@pytest.mark.outside(source="common practice, no source", clause="trapped rebound", status="common practice")
def test_the_rebound_lets_direct_release_brakes_go() -> None:
    network = train(replace(DIRECT, bulb=None), 20, gates_after=(0,))
    gates = Change(6.0, 0, GateSetting(0.0))
    probes = (Probe("brake cylinder", 1), Probe("brake cylinder", 19))
    moves = [Change(1.0, 0, lets_out(45e-6, 3.0))]
    left = at_rest([network]).run([moves], 60.0, probes)
    bottled = at_rest([network]).run([[*moves, gates]], 60.0, probes)
    assert gauge(left)[-1] > 3.0
    assert gauge(bottled)[-1] < 0.1, "the vehicle beside the cock has let go"


@closed_form
def test_a_fed_pipe_hides_a_leak_and_not_an_open_end() -> None:
    # 25 mm overwhelm a feed of 10 mm; a hole of 3.7 mm, 14 % of it, is made up.
    network, feed = bare(40.0, 0.032, 2e-5), Change(0.0, 0, ValveSetting(pa(5.0), hole(10.0)))
    ends = (Probe("front"), Probe("rear"))
    wide = run_bare(network, [feed, Change(0.0, 1, open_to_atmosphere(hole(25.0)))], 30.0, ends)
    small = run_bare(network, [feed, Change(0.0, 1, open_to_atmosphere(hole(3.7)))], 30.0, ends)
    assert gauge(wide, 1)[-1] < 0.2 and gauge(small, 0)[-1] > 4.9 and gauge(small, 1)[-1] > 4.9


@closed_form
def test_a_dead_pipe_empties_in_the_time_of_its_volume() -> None:
    network = bare(40.0, 0.032, 2e-5)
    run = run_bare(network, [Change(0.0, 1, lets_out(hole(3.7)))], 40.0, (Probe("rear"),))
    tau_s = time_constant_s(network.length_m * pi / 4 * 0.032**2, hole(3.7), 293.15)
    assert passes(run, 1.0, rising=False) == pytest.approx(isothermal_emptying_time_s(tau_s, pa(5.0), pa(1.0), pa(0.0)), rel=0.01)


@closed_form
@pytest.mark.parametrize("share", [0.5, 0.6, 0.9])
def test_times_in_a_long_pipe_go_with_the_length_to_the_power_of_one_and_a_half(share: float) -> None:
    seen = []
    for length_m in (1000.0, 2000.0):
        to = ValveSetting(pa(4.5), 1e-2, pa(4.5), 1e-2, pa(4.5), 1000.0)
        run = run_bare(bare(length_m, 0.032, 2e-5), [Change(0.0, 0, to)], length_m**1.5 / 1500.0, (Probe("rear"),))
        seen.append(passes(run, 5.0 - 0.5 * share, rising=False))
    assert seen[1] / seen[0] == pytest.approx(2.0**1.5, rel=0.05)
    # Shares of the fall at multiples of L^1.5 sqrt(f/(D RT)), from finite volumes with inertia, f as it is at these flows.
    scale_s = 2000.0**1.5 * (0.023 / (0.032 * 287.05 * 293.15)) ** 0.5
    assert seen[1] / scale_s == pytest.approx({0.5: 0.0838, 0.6: 0.0992, 0.9: 0.1628}[share], rel=0.06)


@closed_form
def test_the_gradient_of_leaks_spread_evenly_is_a_third_of_one_at_the_rear() -> None:
    # p1^2 - p2^2 for the same flow: K at the rear, K/3 evenly, K/2 half way; N leaks: (N+1)(2N+1)/(6 N^2).
    count, area = 40, hole(3.0)
    feed = Change(0.0, 0, ValveSetting(pa(5.0), 1e-2, pa(5.0), droop_pa=10.0))
    found = {}
    for name, where in (("rear", [count - 1]), ("half", [count // 2 - 1]), ("even", range(count)), ("eight", range(4, count, 5))):
        places = list(where)
        leaks = [area / len(places) if k in places else 0.0 for k in range(count)]
        run = run_bare(bare(count * 20.0, 0.032, 1e-4, leaks), [feed], 400.0, (Probe("branch", 0), Probe("rear")))
        p = run.readings_pa[-1, :, 0]
        found[name] = float(p[0] ** 2 - p[1] ** 2) / float(run.state.now[1][0, 0]) ** 2
    assert found["half"] / found["rear"] == pytest.approx(1 / 2, rel=0.04)
    assert found["even"] / found["rear"] == pytest.approx(1 / 3, rel=0.08)
    eight = sum(((8 - k) / 8) ** 2 for k in range(8)) / 8
    assert eight == pytest.approx(9 * 17 / (6 * 64))
    assert found["eight"] / found["even"] == pytest.approx(0.98 * 3 * eight, rel=0.1), "each in the middle of its length"


@closed_form
def test_a_compressor_is_never_quicker_than_its_delivery_and_keeps_between_its_governor_s_limits() -> None:
    stand = at_rest([train(TWO_PIPE, 2, main_reservoir=RESERVOIR)], 5.0, 2.0)
    number = len(stand.grid.networks[0].gear.vessels) - 1
    run = stand.run([[]], 400.0, (Probe("vessel", number),))
    free_m3_s = RESERVOIR.compressor_kg_s * 287.05 * 288.15 / pa(0.0)
    assert passes(run, 8.5) >= least_charging_time_s(RESERVOIR.volume_m3, 6.5e5, free_m3_s, pa(0.0))
    assert gauge(run).max() < 10.1
    late = gauge(run)[run.t_s > 300.0]
    assert late.min() > 8.4


@pytest.mark.outside(source="49 CFR 229.49", clause="(a)(1), safety valve of the main reservoir", status="read")
def test_a_compressor_that_never_stops_is_held_by_the_safety_valve() -> None:
    endless = replace(RESERVOIR, stops_pa=pa(20.0))
    stand = at_rest([train(TWO_PIPE, 2, main_reservoir=endless)], 5.0, 8.0)
    number = len(stand.grid.networks[0].gear.vessels) - 1
    run = stand.run([[]], 600.0, (Probe("vessel", number),))
    assert 10.6 < gauge(run).max() < 10.7 + 1.03  # 15 psi above the working maximum at most
    dead = stand.run([[Change(0.0, number, VesselSetting(compressor=False))]], 60.0, (Probe("vessel", number),))
    assert gauge(dead).max() <= 8.01


@pytest.mark.outside(source="common practice, no source", clause="two-wire brake", status="common practice")
@pytest.mark.parametrize(
    ("wires", "least", "most"),
    [((False, False), 0.0, 0.01), ((True, True), 3.5, 3.61), ((True, False), 1.0, 3.0)],
    ids=["dead", "both", "application alone: a weak brake"],
)
def test_the_two_wires_do_as_their_table_says(wires: tuple[bool, bool], least: float, most: float) -> None:
    run = at_rest([train(TWO_PIPE, 2, main_reservoir=RESERVOIR)], wires=wires).run([[]], 20.0, (Probe("brake cylinder", 1),))
    assert least <= gauge(run)[-1] <= most


@pytest.mark.parametrize("kind", [GRADUATED, DIRECT, TWO_PIPE], ids=["graduated", "direct", "two pipes"])
def test_mass_is_kept_and_no_pressure_is_none(kind: Kind) -> None:
    stand = at_rest([train(kind, 6, main_reservoir=RESERVOIR)], 2.0)
    probes = [Probe("branch", k) for k in range(6)]
    run = stand.run([[Change(0.0, 0, feeds(95e-6)), Change(200.0, 0, lets_out(45e-6, 3.5)), *_late(MOVES, 220.0)]], 400.0, probes)
    assert abs(run.mass_balance[0]) < 1e-11
    assert run.readings_pa.min() > 0.95e5


def _late(moves: Sequence[Change], by_s: float) -> list[Change]:
    return [replace(move, t_s=move.t_s + by_s) for move in moves]


def test_two_portions_charged_differently_are_joined_and_parted_again_without_loss() -> None:
    network = train(GRADUATED, 8, gates_after=(3,))
    pipe = np.where(np.arange(fast_grid_of([network]).cells) < fast_grid_of([network]).cells // 2, 3.4, 5.0)
    probes = (Probe("branch", 0), Probe("branch", 7), Probe("brake cylinder", 7))
    parted = GateSetting(0.0, hole(25.0), hole(25.0))
    moves = [Change(0.0, 0, GateSetting(0.0)), Change(5.0, 0, GateSetting()), Change(40.0, 0, parted)]
    run = at_rest([network], pipe).run([moves], 90.0, probes)
    joined = gauge(run)[int(np.searchsorted(run.t_s, 39.0))]
    assert 3.4 < joined < 5.0 and gauge(run, 1)[int(np.searchsorted(run.t_s, 39.0))] == pytest.approx(joined, abs=0.02)
    assert gauge(run, 0)[-1] < 0.05 and gauge(run, 1)[-1] < 0.05 and gauge(run, 2)[-1] > 3.7, "both parts stop"
    assert abs(run.mass_balance[0]) < 1e-11


def test_fed_from_either_end_it_is_the_same_train() -> None:
    stand = at_rest([train(GRADUATED, 6)], 3.0)
    there = stand.run([[Change(0.0, 0, feeds(95e-6))]], 60.0, [Probe("branch", k) for k in range(6)])
    back = stand.run([[Change(0.0, 1, feeds(95e-6))]], 60.0, [Probe("branch", 5 - k) for k in range(6)])
    for t_s in np.arange(0.5, 60.0, 0.5):
        for k in range(6):
            assert np.interp(t_s, there.t_s, gauge(there, k)) == pytest.approx(np.interp(t_s, back.t_s, gauge(back, k)), abs=2e-3)


def test_a_bigger_leak_never_lengthens_the_fall_and_a_longer_train_is_never_quicker() -> None:
    falls = []
    for leak in (0.5, 1.0, 2.0, 4.0, 8.0):
        run = at_rest([train(replace(GRADUATED, leak_mm2=leak), 4)]).run([[]], 200.0, (Probe("branch", 3),))
        falls.append(passes(run, 4.0, rising=False))
    assert falls == sorted(falls, reverse=True)
    builds = []
    for count in (2, 4, 8, 12):
        run = at_rest([train(GRADUATED, count)]).run([[MOVES[0]]], 24.0, (Probe("brake cylinder", count - 1),))
        builds.append(passes(run, 3.0))
    assert builds == sorted(builds)


def test_every_lane_with_gear_is_its_own_run_and_a_cut_changes_nothing_to_speak_of() -> None:
    networks = [train(replace(GRADUATED, leak_mm2=0.005 * (1 + 3 * k), cylinder_l=10.0 + k), 6) for k in range(8)]
    lines = [[replace(m, to=_wider(m.to, 1 + 0.05 * k)) for m in MOVES] for k in range(8)]
    probes = [Probe("branch", k) for k in (0, 3, 5)] + [Probe("brake cylinder", k) for k in (0, 3, 5)]
    block, t_s = at_rest(networks).run(lines, 90.0, probes), np.arange(0.0, 90.0, 0.1)
    for lane in range(8):
        alone = at_rest([networks[lane]]).run([lines[lane]], 90.0, probes)
        _alike(alone, block, t_s, lane)
    stand = at_rest([networks[0]])
    whole = stand.run([lines[0]], 90.0, probes)
    cut, pieces = stand.state, []
    for stop in (7.3, 26.0, 41.7, 90.0):
        part = advance_fast(stand.grid, cut, [[m for m in lines[0] if m.t_s >= cut.clock[0]]], stop, probes)
        pieces, cut = [*pieces, part], part.state
    joined = replace(
        pieces[-1], t_s=np.concatenate([p.t_s for p in pieces]), readings_pa=np.concatenate([p.readings_pa for p in pieces])
    )
    _alike(whole, joined, t_s, 0)


def _wider(to: object, factor: float) -> ValveSetting:
    assert isinstance(to, ValveSetting)
    return replace(to, exhaust_area_m2=to.exhaust_area_m2 * factor)


def _alike(one: FastResult, other: FastResult, t_s: np.ndarray, lane: int) -> None:
    """At most 10 mbar apart, 1 in the mean; moments in which a front passes count as what they are."""
    gaps = np.array([
        np.abs(np.interp(t_s, one.t_s, gauge(one, k)) - np.interp(t_s, other.times_of(lane), gauge(other, k, lane))) * 1e3
        for k in range(6)
    ])  # fmt: skip
    assert gaps.mean() < 1.0 and gaps.max() < 10.0, (lane, gaps.mean(), gaps.max(), np.unravel_index(gaps.argmax(), gaps.shape))


def test_a_bulb_is_empty_again_after_the_release_and_the_next_application_runs_as_the_first() -> None:
    stand = at_rest([train(GRADUATED, 8)])
    again = [*MOVES[:2], replace(MOVES[0], t_s=120.0)]
    run = stand.run([again], 150.0, (Probe("vessel", 2), Probe("brake cylinder", 7)))
    before = int(np.searchsorted(run.t_s, 119.0))
    assert gauge(run)[int(np.searchsorted(run.t_s, 20.0))] > 3.0 and abs(gauge(run)[before]) < 0.02
    first = passes(run, 0.5, 1) - 1.0
    late = run.t_s >= 120.0
    second = float(np.interp(0.5, gauge(run, 1)[late], run.t_s[late])) - 120.0
    assert second == pytest.approx(first, abs=0.05)


def test_an_isolated_brake_is_cut_off_from_the_pipe() -> None:
    network = train(DIRECT, 3)
    stand = at_rest([network])
    cut = [Change(0.0, k, DistributorSetting(isolated=True)) for k in range(3)]
    run = stand.run(
        [[*cut, Change(1.0, 0, lets_out(3e-6))]], 200.0, (Probe("vessel", 0), Probe("branch", 0), Probe("brake cylinder", 0))
    )
    assert gauge(run, 1)[-1] < 2.0 and gauge(run)[-1] == pytest.approx(5.0, abs=1e-6) and gauge(run, 2).max() == 0.0


def test_a_backed_reservoir_takes_the_higher_pipe_and_gives_nothing_back() -> None:
    network = train(TWO_PIPE, 2)
    brake_m = network.gear.distributors[0].at_m
    vessels = [replace(v, backed_at_m=brake_m, backed_choke_m2=4e-6) if n == 1 else v for n, v in enumerate(network.gear.vessels)]
    network = replace(network, gear=replace(network.gear, vessels=tuple(vessels)))
    stand = at_rest([network], 5.0, 0.0)
    fed = Change(0.0, 1, feeds(95e-6))
    run = stand.run([[fed, Change(200.0, 1, lets_out(400e-6))]], 260.0, (Probe("vessel", 1),))
    full = gauge(run)[int(np.searchsorted(run.t_s, 199.0))]
    assert gauge(run)[0] == 0.0 and full == pytest.approx(5.0, abs=0.05)
    assert full - gauge(run)[-1] < 0.7, "what the cylinder took, and nothing into the empty pipe"


@pytest.mark.outside(source="common practice, no source", clause="emergency valves", status="common practice")
def test_emergency_vents_open_when_the_pipe_falls_fast_and_shut_again() -> None:
    plain = train(GRADUATED, 12)
    places = [one.at_m for one in plain.gear.distributors]
    count = len(plain.gear.vessels)
    chambers = tuple(Vessel(at, 0.4e-3, 0.35e-6, True, k) for k, at in enumerate(places))
    brakes = tuple(
        replace(one, rate_chamber=count + k, vent_m2=150e-6, vent_opens_pa=1.0e5, vent_shuts_pa=pa(0.8))
        for k, one in enumerate(plain.gear.distributors)
    )
    vented = replace(plain, gear=replace(plain.gear, vessels=plain.gear.vessels + chambers, distributors=brakes))
    probes = (Probe("branch", 11), Probe("brake cylinder", 11))
    moves = [Change(1.0, 0, lets_out(400e-6)), Change(40.0, 0, feeds(95e-6))]
    with_vents, without = at_rest([vented]).run([moves], 150.0, probes), at_rest([plain]).run([moves], 150.0, probes)
    assert passes(with_vents, 2.0, rising=False) < 0.75 * passes(without, 2.0, rising=False)
    assert gauge(with_vents)[-1] > 4.9, "the vents have shut: the pipe charges again"
    service = at_rest([vented]).run([[Change(1.0, 0, lets_out(20e-6, 3.5))]], 60.0, probes)
    assert gauge(service)[-1] > 3.4, "a service application opens none"
    assert abs(with_vents.mass_balance[0]) < 1e-11
