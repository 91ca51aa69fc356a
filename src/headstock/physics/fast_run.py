"""One run answered by the fast solver, alone: the same question gives the same bits whatever is asked beside it."""

from __future__ import annotations

import numpy as np

from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fast import GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of


def answer_fast(run: AirRun) -> AirTrace:
    """The trace of a run. Raises OutsideModelError when the air leaves what a gas can be."""
    grid = fast_grid_of([run.network])
    middle = (grid.edges_m[:-1] + grid.edges_m[1:]) / 2
    ends = np.array([end for end, _ in run.pipe_pa])
    stretch = np.minimum(np.searchsorted(ends, middle), len(ends) - 1)
    pipe_pa = np.array([pressure for _, pressure in run.pipe_pa])[stretch][:, None]
    gear = GearStart(
        np.reshape(run.vessel_pa, (-1, 1)), np.reshape(run.cylinder_pa, (-1, 1)), 0.0, (run.vessels,), (run.distributors,)
    )
    state = still_air_fast(grid, pipe_pa, 0.0, 0.0, 0.0, (run.gates,), (run.valves,), gear)
    result = advance_fast(grid, state, [run.timeline], run.until_s, run.probes)
    t_s = np.arange(0.0, run.until_s + 1e-9, run.sample_s)
    readings = np.stack([np.interp(t_s, result.t_s, result.readings_pa[:, k, 0]) for k in range(len(run.probes))], axis=1)
    return AirTrace(t_s, readings, float(result.mass_balance[0]))
