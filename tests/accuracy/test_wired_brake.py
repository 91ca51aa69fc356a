"""The two wires of an electro-pneumatic brake: apply, hold, release, and what a lost wire does."""

from __future__ import annotations

from dataclasses import replace
from math import exp

import numpy as np
import pytest

from headstock.physics.distributor import DistributorSetting
from headstock.physics.fast import FastResult
from headstock.physics.pipe_network import Change, Probe
from tests.accuracy.gear_bench import TWO_PIPE, Vessel, at_rest, gauge, lets_out, pa, train

no_source = pytest.mark.outside(source="common practice, no source", clause="two-wire brake", status="common practice")
MAIN = Vessel(0.0, 0.3, 200e-6, compressor_kg_s=0.02, starts_pa=pa(8.5), stops_pa=pa(10.0))
RELEASE, APPLY = DistributorSetting(), DistributorSetting(application_wire=True, holding_wire=True)
HOLD, WEAK = DistributorSetting(holding_wire=True), DistributorSetting(application_wire=True)
FILL_S, EMPTY_S, MOST_BAR = 0.8, 1.5, 3.6
CYLINDER, PIPE, STORE = 0, 1, 2


def wired(*steps: tuple[float, DistributorSetting], until_s: float, air: tuple[Change, ...] = ()) -> FastResult:
    """One vehicle of two whose wires stand so from each time on [s]; its cylinder, brake pipe and reservoir."""
    network = train(replace(TWO_PIPE, leak_mm2=0.0, bulb=None), 2, main_reservoir=MAIN)
    store = network.gear.distributors[1].reservoir
    moves = sorted((*(Change(at, 1, to) for at, to in steps), *air), key=lambda change: change.t_s)
    return at_rest([network]).run([moves], until_s, (Probe("brake cylinder", 1), Probe("branch", 1), Probe("vessel", store)))


def at(run: FastResult, t_s: float, probe: int = CYLINDER) -> float:
    """A reading [bar, gauge] at a time."""
    return float(np.interp(t_s, run.t_s, gauge(run, probe)))


@no_source
def test_apply_hold_apply_more_hold_and_release() -> None:
    run = wired((1.0, APPLY), (1.8, HOLD), (30.0, APPLY), (50.0, HOLD), (80.0, RELEASE), until_s=110.0)
    assert at(run, 0.9) == 0.0
    part = at(run, 1.8)
    assert part == pytest.approx(MOST_BAR * (1.0 - exp(-0.8 / FILL_S)), rel=0.01)
    assert at(run, 29.9) == pytest.approx(part, abs=1e-9), "held for as long as the wire is live"
    assert (at(run, 49.9), at(run, 79.9)) == pytest.approx((MOST_BAR, MOST_BAR), abs=0.001)
    assert at(run, 80.0 + EMPTY_S) == pytest.approx(MOST_BAR * exp(-1.0), rel=0.02)  # a straight line between steps
    assert at(run, 110.0) < 0.001
    assert gauge(run, PIPE).min() == pytest.approx(5.0, abs=0.001), "the brake pipe knows nothing of it"


@no_source
def test_the_application_wire_alone_is_a_weak_brake_that_blows_its_reservoir_s_air_away() -> None:
    run, well = wired((1.0, WEAK), until_s=40.0), wired((1.0, APPLY), until_s=40.0)
    level = MOST_BAR / FILL_S / (1.0 / FILL_S + 1.0 / EMPTY_S)
    assert at(run, 15.0) == pytest.approx(level, rel=0.01) and level < 0.7 * MOST_BAR
    blown_kg = 10e-3 / (287.05 * 288.15) * level * 1e5 / EMPTY_S * (30.0 - 10.0)
    seen_kg = sum(sign * wired((1.0, WEAK), until_s=until_s).state.now[4][2, 0] for sign, until_s in ((1, 30.0), (-1, 10.0)))
    assert seen_kg == pytest.approx(blown_kg, rel=0.01), "what goes through a cylinder that stands still"
    assert at(run, 40.0, STORE) < at(well, 40.0, STORE)


@no_source
@pytest.mark.parametrize(("wires", "left"), [(APPLY, WEAK), (HOLD, RELEASE)], ids=["while applying", "while holding"])
def test_a_lost_holding_wire_lets_the_brake_leak_off(wires: DistributorSetting, left: DistributorSetting) -> None:
    run = wired((1.0, APPLY), (8.0, wires), (20.0, left), until_s=60.0)
    assert at(run, 19.9) == pytest.approx(MOST_BAR, abs=0.01)
    assert at(run, 20.0 + 3 * EMPTY_S) < 0.7 * MOST_BAR
    if left == RELEASE:
        assert at(run, 40.0) < 0.001


@no_source
def test_the_higher_of_wires_and_pipe_is_the_cylinder_s() -> None:
    emptied = (Change(20.0, 0, lets_out(400e-6)),)
    run = wired((1.0, APPLY), (40.0, RELEASE), until_s=80.0, air=emptied)
    assert at(run, 19.9) == pytest.approx(MOST_BAR, abs=0.01)
    assert (at(run, 39.9), at(run, 79.9)) == pytest.approx((3.8, 3.8), abs=0.01), "dead wires do not release what the pipe holds"
    dead = wired(until_s=40.0, air=(Change(1.0, 0, lets_out(400e-6)),))
    assert at(dead, 39.9) == pytest.approx(3.8, abs=0.01), "without wires the pipe brakes all the same"


@no_source
def test_an_isolated_brake_heeds_neither_pipe_nor_wires() -> None:
    cut, emptied = replace(APPLY, isolated=True), (Change(12.0, 0, lets_out(400e-6)),)
    never, later = wired((0.0, cut), until_s=40.0, air=emptied), wired((1.0, APPLY), (8.0, cut), until_s=80.0, air=emptied)
    assert gauge(never, CYLINDER).max() == 0.0
    assert at(later, 7.9) == pytest.approx(MOST_BAR, abs=0.01) and at(later, 79.9) < 0.01, "cut off, its cylinder empties"
