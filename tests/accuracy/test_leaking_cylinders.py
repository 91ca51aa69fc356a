"""Cylinders that leak, and distributors that are cut in again: what leaves a cylinder has come from somewhere."""

from __future__ import annotations

from dataclasses import replace
from math import exp, sqrt

import numpy as np
import pytest

from headstock.physics.distributor import DistributorSetting
from headstock.physics.fast import FastResult
from headstock.physics.pipe_network import SHUT, Change, Probe
from headstock.physics.volumes import time_constant_s
from tests.accuracy.exact_vessels import CHOKED
from tests.accuracy.gear_bench import DIRECT, GRADUATED, TWO_PIPE, Kind, at_rest, feeds, gauge, lets_out, pa, train

closed_form = pytest.mark.outside(source="closed form", clause="choked leak out of a vessel, isothermal", status="computed")
LEAK_M2, ROOT = 0.2e-6, sqrt(287.05 * 288.15)
ON = [Change(1.0, 0, lets_out(45e-6, 3.5)), Change(20.0, 0, SHUT)]
LEAKS = Change(20.0, 0, DistributorSetting(cylinder_leak_m2=LEAK_M2))


def leaking(kind: Kind, until_s: float) -> tuple[FastResult, float, float]:
    """Cylinder, reservoir and pipe of one vehicle put on, shut off and leaking; volumes of reservoir and cylinder [m3]."""
    network = train(replace(kind, leak_mm2=0.0, bulb=None), 1)
    store = network.gear.distributors[0].reservoir
    probes = (Probe("brake cylinder", 0), Probe("vessel", store), Probe("branch", 0))
    run = at_rest([network], 5.0, 5.0).run([[*ON, LEAKS]], until_s, probes)
    assert abs(run.mass_balance[0]) < 1e-10  # round-off of a thousand steps
    return run, network.gear.vessels[store].volume_m3, network.gear.distributors[0].cylinder_m3


@closed_form
@pytest.mark.parametrize("kind", [GRADUATED, TWO_PIPE], ids=["one pipe", "two pipes"])
def test_what_a_graduated_brake_makes_up_is_gone_from_its_reservoir(kind: Kind) -> None:
    run, reservoir_m3, cylinder_m3 = leaking(replace(kind, reservoir=(75.0, 0.0)), 240.0)
    after = run.t_s >= 20.0
    t_s, cylinder, reservoir = run.t_s[after], run.readings_pa[after, 0, 0], run.readings_pa[after, 1, 0]
    leaked_kg = float(np.trapezoid(LEAK_M2 * CHOKED * cylinder / ROOT, t_s))
    lost_kg = ((reservoir[0] - reservoir[-1]) * reservoir_m3 + (cylinder[0] - cylinder[-1]) * cylinder_m3) / ROOT**2
    assert lost_kg == pytest.approx(leaked_kg, rel=0.02)
    assert gauge(run, 0)[-1] > 3.7 and gauge(run, 1)[-1] < 4.2, "kept up, at the reservoir's cost"


@closed_form
def test_a_graduated_brake_left_alone_with_a_leak_lets_go_in_the_end() -> None:
    run, reservoir_m3, cylinder_m3 = leaking(replace(TWO_PIPE, reservoir=(75.0, 0.0)), 1500.0)
    as_one_s = time_constant_s(reservoir_m3 + cylinder_m3, LEAK_M2, 288.15)
    from_s, to_s = 700.0, 1200.0  # from where the reservoir is no higher than what the pipe asks for
    start, end = (float(np.interp(at, run.t_s, run.readings_pa[:, 0, 0])) for at in (from_s, to_s))
    assert gauge(run, 1)[int(np.searchsorted(run.t_s, from_s))] < 3.8
    assert end / start == pytest.approx(exp(-(to_s - from_s) / as_one_s), rel=0.02)


@closed_form
def test_a_direct_brake_is_not_kept_up_once_its_reservoir_is_down_to_the_pipe() -> None:
    run, _, cylinder_m3 = leaking(DIRECT, 1000.0)
    tau_s = time_constant_s(cylinder_m3, LEAK_M2, 288.15)
    start, end = (float(np.interp(at, run.t_s, run.readings_pa[:, 0, 0])) for at in (300.0, 600.0))
    assert gauge(run, 1)[-1] == pytest.approx(gauge(run, 2)[-1], abs=0.01)
    assert end / start == pytest.approx(exp(-300.0 / tau_s), rel=0.01)
    assert gauge(run, 0)[-1] < 0.1, "a detached vehicle has no brake left"


@pytest.mark.parametrize("kind", [GRADUATED, DIRECT], ids=["graduated", "direct"])
def test_a_brake_cut_in_again_on_a_pipe_that_is_down_and_still_goes_on(kind: Kind) -> None:
    network = train(replace(kind, leak_mm2=0.0, bulb=None), 1)
    moves = [Change(0.0, 0, DistributorSetting(isolated=True)), *ON]
    run = at_rest([network]).run([[*moves, Change(40.0, 0, DistributorSetting())]], 80.0, (Probe("brake cylinder", 0),))
    never = at_rest([network]).run([ON], 80.0, (Probe("brake cylinder", 0),))
    assert gauge(run)[run.t_s < 40.0].max() == 0.0
    assert gauge(run)[-1] == pytest.approx(gauge(never)[-1], abs=0.02)


def test_a_brake_cut_in_again_on_a_charged_pipe_stays_off() -> None:
    network = train(replace(GRADUATED, leak_mm2=0.0), 2)
    moves = [Change(0.0, 0, DistributorSetting(isolated=True)), Change(0.0, 0, feeds(95e-6))]
    run = at_rest([network]).run([[*moves, Change(20.0, 0, DistributorSetting())]], 60.0, (Probe("brake cylinder", 0),))
    assert gauge(run).max() == 0.0 and run.readings_pa[0, 0, 0] == pa(0.0)
