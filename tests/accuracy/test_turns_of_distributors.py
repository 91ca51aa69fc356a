"""A distributor that has let go stays so while the pipe does not fall; a direct one fills as its time constant says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.physics.pipe_network import SHUT, Change, Probe
from headstock.physics.volumes import equalised_pa
from tests.accuracy.gear_bench import DIRECT, GRADUATED, at_rest, feeds, gauge, lets_out, pa, passes, train

closed_form = pytest.mark.outside(source="closed form", clause="exponential of stated time constant", status="computed")
CYLINDER = (Probe("brake cylinder", 0),)


@closed_form
@pytest.mark.parametrize("back_to_bar", [4.88, 4.92])
def test_a_brake_that_has_let_go_does_not_go_on_again_while_the_pipe_stands_or_rises(back_to_bar: float) -> None:
    # It lets go within 0.15 bar and applies at 0.06: between the two only a falling pipe may put it on.
    network = train(replace(GRADUATED, leak_mm2=0.0, bulb=None, reservoir=(75.0, 0.0), chamber=(4.0, 1e-9)), 1)  # nothing draws
    moves = [Change(1.0, 0, lets_out(20e-6, 4.2)), Change(20.0, 0, feeds(2e-6, back_to_bar)), Change(50.0, 0, SHUT)]
    run = at_rest([network]).run([[*moves, Change(80.0, 0, lets_out(5e-6, 4.6))]], 110.0, (*CYLINDER, Probe("branch", 0)))
    resting = (run.t_s >= 50.0) & (run.t_s < 80.0)
    assert gauge(run, 1)[resting] == pytest.approx(back_to_bar, abs=0.02)
    rest = np.interp(50.0, run.t_s, gauge(run)) * np.exp(-(run.t_s[resting] - 50.0) / GRADUATED.release_s)
    assert gauge(run)[resting] == pytest.approx(rest, abs=1e-3)
    assert gauge(run)[-1] > 0.7, "a fall from there applies it"


@closed_form
def test_a_direct_brake_fills_towards_what_both_share_with_its_time_constant() -> None:
    network = train(replace(DIRECT, leak_mm2=0.0, bulb=None), 1)
    run = at_rest([network]).run([[Change(1.0, 0, lets_out(400e-6))]], 30.0, CYLINDER)
    shared = (equalised_pa(pa(5.0), DIRECT.reservoir[0], pa(0.0), DIRECT.cylinder_l) - pa(0.0)) / 1e5
    begins = passes(run, 0.01)
    late = (run.t_s > begins + 1.0) & (run.t_s < begins + 5.0)
    expected = shared * (1.0 - np.exp(-(run.t_s[late] - begins) / DIRECT.fill_s))
    assert late.sum() > 5 and gauge(run)[late] == pytest.approx(expected, abs=0.1)
    assert gauge(run)[-1] == pytest.approx(shared, abs=0.01)


def test_distributors_do_not_turn_to_and_fro_with_the_pipe_between_letting_go_and_applying() -> None:
    stand = at_rest([train(GRADUATED, 12)])
    moves = [Change(1.0, 0, lets_out(45e-6, 3.5)), Change(30.0, 0, feeds(95e-6, 4.87))]
    run = stand.run([moves], 200.0, CYLINDER)
    assert run.steps < 1200, "seen: 670; turning at every step 5,000 and more"
    assert gauge(run)[-1] < 0.01 and not run.state.gear.mode.any()
