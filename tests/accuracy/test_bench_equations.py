"""The right-hand side that general integrators are measured with is what the fast solver solves."""

from __future__ import annotations

import numpy as np
import pytest

from bench.fast_against_libraries import CASE, Tried, at_times, by_library, dependable, errors, happens_to_do, probes_of
from bench.integrators import Fill, Solved, Stretch, scipy_stretch
from bench.lumped_equations import lumped_of
from headstock.physics.arrays import Floats
from headstock.physics.fast import CLOSE_STEPS, advance_fast
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import fast_run_of

RUNGE_KUTTA_S = 0.001
"""Step; the quickest wave needs less than 0.03 s."""


def runge_kutta(fill: Fill, start: float, stop: float, y: Floats, wanted: Floats, _: float) -> Solved:
    """The classical four stages in equal steps; wanted times lie on steps."""
    count = round((stop - start) / RUNGE_KUTTA_S)
    kept, (a, b, c, d), h = [], np.empty((4, y.size)), (stop - start) / count
    due = {round((t - start) / h) for t in wanted}
    for step in range(1, count + 1):
        fill(0.0, y, a)
        fill(0.0, y + h / 2 * a, b)
        fill(0.0, y + h / 2 * b, c)
        fill(0.0, y + h * c, d)
        y = y + h / 6 * (a + 2 * b + 2 * c + d)
        if step in due:
            kept.append(y)
    return Solved(np.array(kept).reshape(-1, y.size), y, count)


def apart_mbar(case: AirCase, stretch: Stretch, rtol: float) -> tuple[float, float]:
    """Mean and 99 % between an integrator and the fast solver in short steps [mbar]."""
    run, wanted = fast_run_of(case), np.arange(0.5, case.end_s, 0.5)
    other, _, _ = by_library(case, run, lumped_of(run.grid), stretch, rtol, wanted)
    result = advance_fast(
        run.grid, run.start, (run.timeline,), case.end_s, probes_of(case), CLOSE_STEPS._replace(first_s=0.002, tolerance_pa=20.0)
    )
    return errors(at_times(wanted, result.t_s, result.readings_pa[:, :, 0]), other)


def speed_case(**changes: object) -> AirCase:
    return load_air_cases(CASE).cases[0].model_copy(update=changes)


def test_runge_kutta_and_the_fast_solver_agree_on_charging_and_on_an_application() -> None:
    charging = speed_case(end_s=6.0)
    full = {"valve": [event.model_copy(update={"t": 0.0}) for event in charging.valve if event.mode == "full"][:1]}
    applying = speed_case(end_s=6.0, initial_pipe_bar=5.0, **full)
    assert applying.valve, "the speed case has a full application"
    for case in (charging, applying):
        mean, worst = apart_mbar(case, runge_kutta, 0.0)
        assert mean < 0.15 and worst < 1.5, (mean, worst, "seen: 0.06, 0.6")


def test_an_integrator_of_scipy_and_the_fast_solver_agree_on_the_same_equations() -> None:
    pytest.importorskip("scipy", reason="SciPy is not installed; Runge-Kutta holds the first seconds")
    case = speed_case(end_s=400.0)  # charge, lap, full application
    mean, worst = apart_mbar(case, scipy_stretch("LSODA", lumped_of(fast_run_of(case).grid)), 1e-5)
    assert mean < 0.5 and worst < 10.0, (mean, worst)


@pytest.mark.parametrize(
    ("errors_mbar", "happens", "depends"),
    [
        ((9.0, 2.0, 1.0, 0.5), 1, 1),
        ((9.0, 1.0, 5.0, 1.0, 0.5), 1, 3),
        ((1.0, 1.0, 9.0), 0, None),
        ((9.0, float("nan"), 1.0), 2, 2),
    ],
)
def test_a_tolerance_counts_only_if_every_closer_one_is_as_good(
    errors_mbar: tuple[float, ...], happens: int | None, depends: int | None
) -> None:
    tried = [Tried(10.0**-n, error, 10.0 * error) for n, error in enumerate(errors_mbar)]
    assert (happens_to_do(tried, (2.0, 20.0)), dependable(tried, (2.0, 20.0))) == (happens, depends)
    assert happens_to_do(tried, (2.0, 1.0)) is dependable(tried, (2.0, 1.0)) is None, "99 % counts as the mean does"
