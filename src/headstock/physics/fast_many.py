"""Many runs of one train answered side by side by the fast solver, with the steps of scenarios in thousands.

An answer does not hang on what is asked beside it. It is not to the last bit that of ``answer_fast``, which steps closer.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.arrays import Floats
from headstock.physics.fast import MANY_STEPS, GearStart, advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fast_run import answer_fast
from headstock.physics.pipe_network import Change

ABREAST = 64
"""Lanes of a block: eight at a time go through the compiled stepping, more only saves making arrays."""


def answer_many(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
    """One trace a run, in the order asked. Runs that follow one another and are read alike share a block,
    whatever their lengths and temperatures.

    Raises OutsideModelError when the air of one leaves what a gas can be.
    """
    traces: list[AirTrace] = []
    for _, alike in groupby(runs, key=lambda run: (run.sample_s, run.probes, len(run.network.pieces))):
        together = list(alike)
        for first in range(0, len(together), ABREAST):
            traces += _answered(together[first : first + ABREAST])
    return tuple(traces)


def _answered(runs: Sequence[AirRun]) -> list[AirTrace]:
    """A block; what these steps are too wide for (a short length between two cocks nearly shut) is stepped closer by itself.

    Halving a block changes no answer: none hangs on what stands beside it.
    """
    try:
        return _block(runs)
    except OutsideModelError:
        if len(runs) == 1:
            return [answer_fast(runs[0])]
    middle = len(runs) // 2
    return _answered(runs[:middle]) + _answered(runs[middle:])


def _block(asked: Sequence[AirRun]) -> list[AirTrace]:
    runs = list(asked) if len(asked) > 1 else [*asked, *asked]  # one alone would be stepped by other lines
    grid = fast_grid_of([run.network for run in runs])
    middle = (grid.edges_m[:-1] + grid.edges_m[1:]) / 2
    gear = GearStart(
        _columns([run.vessel_pa for run in runs]), _columns([run.cylinder_pa for run in runs]), 0.0,
        tuple(run.vessels for run in runs), tuple(run.distributors for run in runs),
    )  # fmt: skip
    pipe_pa = np.stack([_along(run, middle) for run in runs], axis=1)
    gates, valves = tuple(run.gates for run in runs), tuple(run.valves for run in runs)
    state = still_air_fast(grid, pipe_pa, 0.0, 0.0, 0.0, gates, valves, gear)
    lines, until_s = _to_their_ends(runs), max(run.until_s for run in runs)
    result = advance_fast(grid, state, lines, until_s, runs[0].probes, MANY_STEPS)
    found = []
    for lane, run in enumerate(asked):
        t_s = np.arange(0.0, run.until_s + 1e-9, run.sample_s)
        times, readings = result.times_of(lane), result.readings_pa[:, :, lane]
        sampled = np.stack([np.interp(t_s, times, readings[:, probe]) for probe in range(readings.shape[1])], axis=1)
        found.append(AirTrace(t_s, sampled, float(result.mass_balance[lane])))
    return found


def answer_few(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
    """The same with the same steps, run by run: for a few hundred, where compiling the wide stepping would take longer."""
    traces = []
    for run in runs:
        try:
            traces.append(_alone(run))
        except OutsideModelError:  # as in a block
            traces.append(answer_fast(run))
    return tuple(traces)


def _alone(run: AirRun) -> AirTrace:
    grid = fast_grid_of([run.network])
    gear = GearStart(_columns([run.vessel_pa]), _columns([run.cylinder_pa]), 0.0, (run.vessels,), (run.distributors,))
    middle = (grid.edges_m[:-1] + grid.edges_m[1:]) / 2
    state = still_air_fast(grid, _along(run, middle)[:, None], 0.0, 0.0, 0.0, (run.gates,), (run.valves,), gear)
    result = advance_fast(grid, state, [run.timeline], run.until_s, run.probes, MANY_STEPS)
    t_s = np.arange(0.0, run.until_s + 1e-9, run.sample_s)
    readings = result.readings_pa[:, :, 0]
    sampled = np.stack([np.interp(t_s, result.t_s, readings[:, probe]) for probe in range(readings.shape[1])], axis=1)
    return AirTrace(t_s, sampled, float(result.mass_balance[0]))


def _to_their_ends(runs: Sequence[AirRun]) -> list[tuple[Change, ...]]:
    """``_to_its_end`` of every run; runs with the very same timeline have one of it."""
    found = dict[tuple[object, ...], tuple[Change, ...]]()
    keys = [(id(run.timeline), id(run.valves), id(run.gates), run.until_s) for run in runs]
    for key, run in zip(keys, runs, strict=True):
        if key not in found:
            found[key] = _to_its_end(run)
    return [found[key] for key in keys]


def _to_its_end(run: AirRun) -> tuple[Change, ...]:
    """What changes in a run, and a change at its end that changes nothing: it steps onto its own end, however long others are."""
    line = tuple(change for change in run.timeline if change.t_s <= run.until_s)
    settings = run.valves or run.gates
    if not settings:
        return line
    last = next((one.to for one in reversed(line) if one.number == 0 and isinstance(one.to, type(settings[0]))), settings[0])
    return (*line, Change(run.until_s, 0, last))


def _along(run: AirRun, middle_m: Floats) -> Floats:
    """The pressure at first in each cell [Pa]."""
    ends = np.array([end for end, _ in run.pipe_pa])
    stretch = np.minimum(np.searchsorted(ends, middle_m), len(ends) - 1)
    return np.asarray(np.array([pressure for _, pressure in run.pipe_pa])[stretch])


def _columns(rows: Sequence[Sequence[float]]) -> Floats:
    return np.array(rows, dtype=np.float64).reshape(len(rows), -1).T
