"""One run answered by the fine solver."""

from __future__ import annotations

import numpy as np

from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of


def answer_fine(run: AirRun) -> AirTrace:
    """The trace of a run. Raises OutsideModelError when the air leaves what a gas can be."""
    grid = grid_of(run.network, run.longest_cell_m)
    middle = (np.arange(grid.cells) + 0.5) * grid.cell_m
    ends = np.array([end for end, _ in run.pipe_pa])
    stretch = np.minimum(np.searchsorted(ends, middle), len(ends) - 1)
    pipe_pa = np.array([pressure for _, pressure in run.pipe_pa])[stretch]
    state = still_air(grid, pipe_pa, run.chamber_pa, run.reservoir_pa, run.cylinder_pa, run.gates, run.valves)
    result = advance(grid, state, run.timeline, run.until_s, run.gas, run.probes, run.sample_s)
    return AirTrace(result.t_s, result.readings_pa, result.mass_balance)
