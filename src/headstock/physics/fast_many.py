"""Many runs of one train answered side by side by the fast solver; each answer is what it would be alone."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.arrays import Floats
from headstock.physics.fast import GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of

ABREAST = 64
"""Lanes of a block: eight at a time go through the compiled stepping, more only saves making arrays."""


def answer_many(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
    """One trace a run, in the order asked. Runs that follow one another and are of one length and sampling share a block.

    Raises OutsideModelError when the air of one leaves what a gas can be.
    """
    traces: list[AirTrace] = []
    for _, alike in groupby(runs, key=lambda run: (run.until_s, run.sample_s, run.probes, len(run.network.pieces))):
        together = list(alike)
        for first in range(0, len(together), ABREAST):
            traces += _block(together[first : first + ABREAST])
    return tuple(traces)


def _block(runs: Sequence[AirRun]) -> list[AirTrace]:
    grid = fast_grid_of([run.network for run in runs])
    middle = (grid.edges_m[:-1] + grid.edges_m[1:]) / 2
    gear = GearStart(
        _columns([run.vessel_pa for run in runs]), _columns([run.cylinder_pa for run in runs]), 0.0,
        tuple(run.vessels for run in runs), tuple(run.distributors for run in runs),
    )  # fmt: skip
    pipe_pa = np.stack([_along(run, middle) for run in runs], axis=1)
    gates, valves = tuple(run.gates for run in runs), tuple(run.valves for run in runs)
    state = still_air_fast(grid, pipe_pa, 0.0, 0.0, 0.0, gates, valves, gear)
    result = advance_fast(grid, state, [run.timeline for run in runs], runs[0].until_s, runs[0].probes)
    t_s = np.arange(0.0, runs[0].until_s + 1e-9, runs[0].sample_s)
    found = []
    for lane in range(len(runs)):
        times, readings = result.times_of(lane), result.readings_pa[:, :, lane]
        sampled = np.stack([np.interp(t_s, times, readings[:, probe]) for probe in range(readings.shape[1])], axis=1)
        found.append(AirTrace(t_s, sampled, float(result.mass_balance[lane])))
    return found


def _along(run: AirRun, middle_m: Floats) -> Floats:
    """The pressure at first in each cell [Pa]."""
    ends = np.array([end for end, _ in run.pipe_pa])
    stretch = np.minimum(np.searchsorted(ends, middle_m), len(ends) - 1)
    return np.asarray(np.array([pressure for _, pressure in run.pipe_pa])[stretch])


def _columns(rows: Sequence[Sequence[float]]) -> Floats:
    return np.array(rows, dtype=np.float64).reshape(len(rows), -1).T
