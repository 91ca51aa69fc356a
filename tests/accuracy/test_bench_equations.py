"""The right-hand side that general integrators are measured with is what the fast solver solves."""

from __future__ import annotations

import numpy as np

from bench.fast_against_libraries import CASE, by_library, errors, probes_of, readings_of, scipy_stretch
from bench.lumped_equations import lumped_of
from headstock.physics.fast import advance_fast
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_network import fast_run_of


def test_an_integrator_of_scipy_and_the_fast_solver_agree_on_the_same_equations() -> None:
    case = load_air_cases(CASE).cases[0].model_copy(update={"end_s": 400.0})  # charge, lap, full application
    run, wanted = fast_run_of(case), np.arange(0.0, 400.0, 0.5)
    lumped = lumped_of(run.grid)
    other = readings_of(lumped, by_library(case, run, lumped, scipy_stretch("LSODA", lumped), 1e-4, wanted))
    result = advance_fast(run.grid, run.start, (run.timeline,), 400.0, probes_of(case), 20.0, 0.002)
    own = np.stack([np.interp(wanted, result.t_s, result.readings_pa[:, k, 0]) for k in range(len(probes_of(case)))], axis=1)
    mean, worst = errors(own, other)
    assert mean < 0.5 and worst < 10.0, (mean, worst)
