"""Pipes that are opened, to another portion or to the open air: which way pressures may go at all."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from headstock.physics.distributor import DistributorSetting
from headstock.physics.fast import FastResult
from headstock.physics.pipe_network import SHUT, Change, GateSetting, Probe
from tests.accuracy.gear_bench import DIRECT, GRADUATED, TWO_PIPE, Kind, at_rest, feeds, gauge, hole, lets_out, passes, train

CYLINDERS = tuple(Probe("brake cylinder", k) for k in range(6))
ROUND_OFF_BAR = 1e-6


@pytest.mark.parametrize("kind", [GRADUATED, DIRECT], ids=["graduated", "direct"])
def test_joining_a_braked_portion_to_a_charged_one_puts_no_brake_of_it_further_on(kind: Kind) -> None:
    stand = at_rest([train(replace(kind, leak_mm2=0.0), 6, gates_after=(2,))])
    moves = [
        Change(0.0, 0, GateSetting(0.0)), Change(1.0, 1, lets_out(60e-6, 3.7)), Change(40.0, 1, SHUT),
        Change(40.0, 0, feeds(95e-6)), Change(60.0, 0, GateSetting()),
    ]  # fmt: skip
    run = stand.run([moves], 200.0, CYLINDERS)
    after = run.t_s >= 60.0
    for k in (3, 4, 5):
        held = gauge(run, k)[after]
        assert held[0] > 2.0 and np.diff(held).max() < ROUND_OFF_BAR, k
        assert held[-1] < 0.05
    assert abs(run.mass_balance[0]) < 1e-11


def test_opening_the_main_pipe_of_a_braked_train_raises_no_cylinder() -> None:
    stand = at_rest([train(replace(TWO_PIPE, leak_mm2=0.0), 4, gates_after=(1,))], 5.0, 6.0)
    held = [Change(1.0, 0, lets_out(45e-6, 4.2)), Change(30.0, 0, SHUT)]
    wall = len(stand.grid.networks[0].gates) - 1  # between the end of the brake pipe and that of the main pipe: vents on both
    opened = [*held, Change(40.0, wall, GateSetting(0.0, 0.0, hole(25.0)))]
    left, vented = (stand.run([moves], 120.0, (*CYLINDERS[:4], Probe("branch", 7))) for moves in (held, opened))
    assert gauge(vented, 4)[-1] < 0.1 and gauge(left, 4)[-1] > 5.0
    for k in range(4):
        before = gauge(vented, k)[vented.t_s < 40.0][-1]
        assert before > 1.5 and gauge(vented, k)[vented.t_s >= 40.0].max() <= before + 0.002
        assert gauge(vented, k)[-1] == pytest.approx(gauge(left, k)[-1], abs=0.02), "reservoirs behind check valves hold it"


def fall(area_mm2: float, vehicles: int, leak_mm2: float) -> FastResult:
    stand = at_rest([train(replace(GRADUATED, leak_mm2=leak_mm2), vehicles)])
    return stand.run([[Change(1.0, 1, lets_out(area_mm2 * 1e-6))]], 40.0, (Probe("branch", 0), Probe("branch", vehicles - 1)))


@settings(max_examples=15)
@given(st.floats(40.0, 300.0), st.floats(1.1, 3.0), st.integers(2, 7), st.floats(0.0, 1.0))
def test_a_wider_opening_never_lengthens_the_fall_at_either_end(area: float, wider: float, vehicles: int, leak: float) -> None:
    narrow, wide = fall(area, vehicles, leak), fall(area * wider, vehicles, leak)
    for probe in (0, 1):
        for level in (4.0, 3.0, 1.0):
            assert passes(wide, level, probe, rising=False) <= passes(narrow, level, probe, rising=False) + 0.01


@settings(max_examples=10)
@given(st.integers(0, 4), st.integers(0, 5), st.booleans())
def test_a_brake_that_is_cut_off_never_goes_on_whatever_the_pipe_does(at: int, cut: int, direct: bool) -> None:
    stand = at_rest([train(DIRECT if direct else GRADUATED, 6, gates_after=(at,))])
    moves = [
        Change(0.0, cut, DistributorSetting(isolated=True)), Change(1.0, 0, lets_out(200e-6)), Change(3.0, 0, GateSetting(0.0)),
        Change(20.0, 0, feeds(95e-6)), Change(25.0, 0, GateSetting()),
    ]  # fmt: skip
    run = stand.run([moves], 60.0, CYLINDERS)
    assert gauge(run, cut).max() == 0.0 and max(gauge(run, k).max() for k in range(6)) > 1.0
    assert abs(run.mass_balance[0]) < 1e-11
