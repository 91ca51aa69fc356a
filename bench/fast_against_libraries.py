"""The fast solver against general integrators on the same lumped equations, at the same accuracy, in one run on one thread.

``PYTHONPATH=src:. python -m bench.fast_against_libraries``. Besides what the tests need it takes SUNDIALS through the package
scikit-sundae: install ``requirements/bench.txt`` (hashed) into an environment that has ``requirements/run.txt``. Without it CVODE
is left out and said to be.

Case: twelve vehicles, twelve minutes (`speed-case`). Error: against the fine solver, isothermal, every pipe and cylinder, each
tenth of a second. Each integrator gets the loosest of its tolerances with which mean and 99 % are no more than a
twentieth above those of the fast solver; where none is, the best one is printed. It judges nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path
from time import perf_counter

import numpy as np

from bench.lumped_equations import Lumped, first_state, lumped_of, right_hand_side, valve_rows
from headstock.physics.arrays import Floats
from headstock.physics.fast import advance_fast
from headstock.physics.fine import advance
from headstock.physics.pipe_network import Probe
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import FastCaseRun, air_run_of, fast_run_of

CASE = Path(__file__).parents[1] / "tests/accuracy/air_examples/speed-case.json"
EVERY_S = 0.1
TOLERANCES = (3e-3, 1e-3, 3e-4, 1e-4, 3e-5)
Rhs = Callable[[float, Floats], Floats]
Stretch = Callable[[Rhs, float, float, Floats, Floats, float], tuple[Floats, Floats]]
"""From and to [s], state, wanted times: states at these times and at the end."""


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    name: str
    ms: float
    mean_mbar: float
    worst_mbar: float


def probes_of(case: AirCase) -> tuple[Probe, ...]:
    """Every vehicle's pipe and cylinder."""
    return tuple(Probe(kind, n) for kind in ("branch", "cylinder") for n in range(case.vehicles))  # type: ignore[arg-type]


def errors(readings: Floats, fine: Floats) -> tuple[float, float]:
    """Mean and 99 % of the difference [mbar]."""
    off = np.abs(readings - fine) / 100.0
    return float(off.mean()), float(np.percentile(off, 99))


def stretches(run: FastCaseRun, end_s: float) -> list[tuple[float, float]]:
    """Between changes of the valves."""
    stops = sorted({0.0, end_s, *(change.t_s for change in run.timeline if change.t_s < end_s)})
    return list(pairwise(stops))


def by_library(case: AirCase, run: FastCaseRun, lumped: Lumped, stretch: Stretch, rtol: float, wanted: Floats) -> Floats:
    """The states at the wanted times, restarted at each change."""
    y, found = first_state(lumped, run.start), []
    places = (lumped.pressure, lumped.flow, lumped.brake, lumped.brake_cell)
    room = (np.zeros(run.grid.cells + 1), np.zeros(run.grid.cells), np.zeros(run.grid.cells))
    for start, stop in stretches(run, case.end_s):
        front, rear = valve_rows(run.grid, run.start, [c for c in run.timeline if c.t_s <= start], start)

        def rhs(_: float, state: Floats, front: Floats = front, rear: Floats = rear) -> Floats:
            out = np.empty_like(state)
            right_hand_side(state, out, *places, *lumped.arrays, front, rear, lumped.rt, *room)
            return out

        here = wanted[(wanted >= start) & (wanted < stop)]
        states, y = stretch(rhs, start, stop, y, here, rtol)
        found.append(states)
    return np.concatenate(found)


def readings_of(lumped: Lumped, states: Floats) -> Floats:
    """Pipe and cylinder of every vehicle [Pa, absolute]."""
    pipes = states[:, lumped.pressure[lumped.brake_cell]]
    return np.concatenate([pipes, states[:, lumped.brake + 2] + 101325.0], axis=1)


def scipy_stretch(method: str, lumped: Lumped) -> Stretch:
    """One of SciPy's integrators."""
    from scipy.integrate import solve_ivp  # noqa: PLC0415  (an extra)

    scale = np.full(lumped.size, 1e5)
    scale[lumped.flow] = 0.1

    def over(rhs: Rhs, start: float, stop: float, y: Floats, wanted: Floats, rtol: float) -> tuple[Floats, Floats]:
        options = {"lband": lumped.band, "uband": lumped.band} if method == "LSODA" else {}
        done = solve_ivp(rhs, (start, stop), y, method, t_eval=np.append(wanted, stop), rtol=rtol, atol=rtol * scale, **options)
        return done.y.T[:-1], done.y[:, -1]

    return over


def cvode_stretch(lumped: Lumped) -> Stretch:
    """SUNDIALS CVODE, order 2 at most, banded differences."""
    from sksundae.cvode import CVODE  # noqa: PLC0415  (an extra)

    scale = np.full(lumped.size, 1e5)
    scale[lumped.flow] = 0.1

    def over(rhs: Rhs, start: float, stop: float, y: Floats, wanted: Floats, rtol: float) -> tuple[Floats, Floats]:
        def fill(t: float, state: Floats, out: Floats) -> None:
            out[:] = rhs(t, state)

        solver = CVODE(fill, method="BDF", max_order=2, linsolver="band", lband=lumped.band, uband=lumped.band, rtol=rtol,
                       atol=rtol * scale, max_num_steps=200_000)  # fmt: skip
        times = np.unique(np.concatenate(([start], wanted, [stop])))
        done = solver.solve(times, y)
        kept = done.y[np.isin(times, wanted)] if wanted.size else np.empty((0, y.size))
        return kept, done.y[-1]

    return over


def best_of(work: Callable[[], object], times: int = 3) -> float:
    """The least milliseconds of some tries."""
    least = float("inf")
    for _ in range(times):
        began = perf_counter()
        work()
        least = min(least, (perf_counter() - began) * 1e3)
    return least


def library_row(
    name: str, case: AirCase, run: FastCaseRun, lumped: Lumped, stretch: Stretch, fine: Floats, limit: tuple[float, float]
) -> Row:
    """The loosest tolerance that is as good as the fast solver."""
    wanted, rows = np.arange(0.0, case.end_s, EVERY_S), []
    for rtol in TOLERANCES:
        mean, worst = errors(readings_of(lumped, by_library(case, run, lumped, stretch, rtol, wanted)), fine)
        ms = best_of(partial(by_library, case, run, lumped, stretch, rtol, np.empty(0)), 1)
        rows.append(Row(f"{name}, {rtol:g}", ms, mean, worst))
        if mean <= 1.05 * limit[0] and worst <= 1.05 * limit[1]:
            break
    return rows[-1] if rows[-1].mean_mbar <= 1.05 * limit[0] else min(rows, key=lambda row: row.mean_mbar)


def print_table(rows: Sequence[Row]) -> None:
    """Name, time, error, and time over that of the first."""
    for row in rows:
        print(f"{row.name:34s} {row.ms:10.2f} ms   mean {row.mean_mbar:5.2f}, 99 % {row.worst_mbar:5.1f} mbar"
              f"   {row.ms / rows[0].ms:8.1f} times")  # fmt: skip


def main() -> None:
    """Print the table."""
    case = load_air_cases(CASE).cases[0]
    run, probes, wanted = fast_run_of(case), probes_of(case), np.arange(0.0, case.end_s, EVERY_S)
    slow = air_run_of(case)
    exact = advance(slow.grid, slow.start, slow.timeline, case.end_s, "isothermal", probes, 0.02)
    fine = np.stack([np.interp(wanted, exact.t_s, exact.readings_pa[:, k]) for k in range(len(probes))], axis=1)
    result = advance_fast(run.grid, run.start, (run.timeline,), case.end_s, probes)
    own = np.stack([np.interp(wanted, result.t_s, result.readings_pa[:, k, 0]) for k in range(len(probes))], axis=1)
    limit = errors(own, fine)
    fast_ms = best_of(lambda: advance_fast(run.grid, run.start, (run.timeline,), case.end_s), 5)
    rows, lumped = [Row(f"fast, {result.steps} steps", fast_ms, *limit)], lumped_of(run.grid)
    try:
        rows.append(library_row("CVODE, order 2, band", case, run, lumped, cvode_stretch(lumped), fine, limit))
    except ImportError:
        print("CVODE left out: scikit-sundae is not installed (requirements/bench.txt)")
    for method in ("LSODA", "BDF", "Radau"):
        rows.append(library_row(f"SciPy {method}", case, run, lumped, scipy_stretch(method, lumped), fine, limit))
    print_table(rows)


if __name__ == "__main__":
    main()
