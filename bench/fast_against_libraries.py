"""The fast solver against general integrators on the same lumped equations, at the same accuracy, in one run on one thread.

``PYTHONPATH=src:. python -m bench.fast_against_libraries``. SUNDIALS comes through the package scikit-sundae: install
``requirements/bench.txt`` (``pip install --require-hashes -r``) into an environment of its own; without it CVODE is left out and
said to be. Let nothing else run meanwhile.

Case: twelve vehicles, twelve minutes (`speed-case`), without what is read on the way when it is timed. Error: against the fine
solver, isothermal: front, rear, every pipe and cylinder, each tenth of a second. Each integrator gets the loosest of the fixed
tolerances with which mean and 99 % are both no greater than the fast solver's; where none is, that is said, and the last one is
printed. Error is not always smaller with a closer tolerance, so a neighbour may differ. Integrators ask a compiled right-hand
side through Python; ``in C`` takes off what that costs them (right-hand sides asked for, times the price of a call). It judges
nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from time import perf_counter
from typing import Any

import numba
import numpy as np

from bench.lumped_equations import Lumped, first_state, lumped_of, readings_of, right_hand_side, valve_rows
from headstock.physics.arrays import Floats
from headstock.physics.fast import advance_fast
from headstock.physics.fine import advance
from headstock.physics.pipe_network import Probe
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import FastCaseRun, air_run_of, fast_run_of

CASE = Path(__file__).parents[1] / "tests/accuracy/air_examples/speed-case.json"
EVERY_S = 0.1
TOLERANCES = (1e-2, 5e-3, 2e-3, 1e-3, 5e-4, 2e-4, 1e-4, 5e-5, 2e-5, 1e-5, 5e-6, 2e-6, 1e-6)
CALLS = 20_000
Fill = Callable[[float, Floats, Floats], None]
"""Time [s], state, where its rate goes."""


@dataclass(frozen=True)
class Solved:
    """States at the wanted times, the state at the end, steps (where nothing was wanted)."""

    states: Floats
    last: Floats
    steps: int


Stretch = Callable[[Fill, float, float, Floats, Floats, float], Solved]
"""From and to [s], state, wanted times, relative tolerance."""


@dataclass(frozen=True)
class Row:
    """One line of the table; ``said`` where there is more to say."""

    name: str
    steps: int
    ms: float
    bare_ms: float
    mean_mbar: float
    worst_mbar: float
    said: str = ""


@dataclass(frozen=True)
class Bench:
    """The case, its equations, what is read when, and what the fine solver reads [Pa]."""

    case: AirCase
    run: FastCaseRun
    lumped: Lumped
    wanted: Floats
    fine: Floats


def probes_of(case: AirCase) -> tuple[Probe, ...]:
    """Both ends, every vehicle's pipe and cylinder."""
    numbers = range(case.vehicles)
    return (Probe("front"), Probe("rear"), *(Probe(kind, n) for kind in ("branch", "cylinder") for n in numbers))


def errors(readings: Floats, fine: Floats) -> tuple[float, float]:
    """Mean and 99 % of the difference [mbar]."""
    off = np.abs(readings - fine) / 100.0
    return float(off.mean()), float(np.percentile(off, 99))


def at_times(wanted: Floats, t_s: Floats, readings: Floats) -> Floats:
    """Readings (samples, probes) in straight lines between samples."""
    return np.stack([np.interp(wanted, t_s, readings[:, k]) for k in range(readings.shape[1])], axis=1)


def stretches(run: FastCaseRun, end_s: float) -> list[tuple[float, float]]:
    """Between changes of the valves."""
    stops = sorted({0.0, end_s, *(change.t_s for change in run.timeline if change.t_s < end_s)})
    return list(pairwise(stops))


def by_library(
    case: AirCase, run: FastCaseRun, lumped: Lumped, stretch: Stretch, rtol: float, wanted: Floats
) -> tuple[Floats, int, int]:
    """Readings at the wanted times [Pa], steps, right-hand sides asked for; restarted at each change."""
    y, found, steps, calls = first_state(lumped, run.start), [], 0, [0]
    for start, stop in stretches(run, case.end_s):
        front, rear = valve_rows(run.grid, run.start, [c for c in run.timeline if c.t_s <= start], start)
        fill = counted(lumped, front, rear, calls)
        here = wanted[(wanted > start) & (wanted <= stop)]  # as a valve moves, ends are read before it
        solved = stretch(fill, start, stop, y, here, rtol)
        y, steps = solved.last, steps + solved.steps
        found.append(readings_of(lumped, solved.states, front, rear))
    return np.concatenate(found), steps, calls[0]


def counted(lumped: Lumped, front: Floats, rear: Floats, calls: list[int]) -> Fill:
    """The right-hand side between two changes of the valves, each call counted."""
    rest = rest_of(lumped, front, rear)

    def fill(_: float, state: Floats, out: Floats) -> None:
        calls[0] += 1
        right_hand_side(state, out, *rest)

    return fill


def rest_of(lumped: Lumped, front: Floats, rear: Floats) -> tuple[Any, ...]:
    """All that the right-hand side takes after the state and its rate."""
    cells = lumped.pressure.size
    room = (np.zeros(cells + 1), np.zeros(cells), np.zeros(cells))
    return (lumped.pressure, lumped.flow, lumped.brake, lumped.brake_cell, *lumped.arrays, front, rear, lumped.rt, *room)


def scale_of(lumped: Lumped) -> Floats:
    """Absolute tolerance over the relative one: a bar, and a tenth of a kilogram a second."""
    scale = np.full(lumped.size, 1e5)
    scale[lumped.flow] = 0.1
    return scale


def scipy_stretch(method: str, lumped: Lumped) -> Stretch:
    """One of SciPy's integrators; the implicit ones are told the band."""
    from scipy.integrate import solve_ivp  # noqa: PLC0415  (an extra)

    place = np.arange(lumped.size)
    band = np.abs(place[:, None] - place) <= lumped.band
    told = {"lband": lumped.band, "uband": lumped.band} if method == "LSODA" else {"jac_sparsity": band}

    def over(fill: Fill, start: float, stop: float, y: Floats, wanted: Floats, rtol: float) -> Solved:
        def rhs(t: float, state: Floats) -> Floats:
            out = np.empty_like(state)
            fill(t, np.ascontiguousarray(state), out)
            return out

        times = np.union1d(wanted, stop) if wanted.size else None
        done = solve_ivp(rhs, (start, stop), y, method, t_eval=times, rtol=rtol, atol=rtol * scale_of(lumped), **told)
        if not done.success:
            raise ArithmeticError(done.message)
        states = done.y.T[np.isin(times, wanted)] if times is not None else np.empty((0, y.size))
        return Solved(states, done.y[:, -1].copy(), 0 if wanted.size else done.t.size - 1)

    return over


def cvode_stretch(lumped: Lumped) -> Stretch:
    """SUNDIALS CVODE, order 2 at most, banded differences."""
    from sksundae.cvode import CVODE  # noqa: PLC0415  (an extra)

    def over(fill: Fill, start: float, stop: float, y: Floats, wanted: Floats, rtol: float) -> Solved:
        solver = CVODE(fill, method="BDF", max_order=2, linsolver="band", lband=lumped.band, uband=lumped.band, rtol=rtol,
                       atol=rtol * scale_of(lumped), max_num_steps=200_000)  # fmt: skip
        times = np.unique(np.concatenate(([start], wanted, [stop])))  # two times: every step is kept
        done = solver.solve(times, y)
        if not done.success:
            raise ArithmeticError(done.message)
        states = done.y[np.isin(times, wanted)] if wanted.size else np.empty((0, y.size))
        return Solved(states, done.y[-1].copy(), 0 if wanted.size else done.t.size - 1)

    return over


def best_of(work: Callable[[], object], times: int = 3) -> float:
    """The least milliseconds of some tries."""
    least = float("inf")
    for _ in range(times):
        began = perf_counter()
        work()
        least = min(least, (perf_counter() - began) * 1e3)
    return least


@numba.njit
def _asked_often(times, *given):  # type: ignore[no-untyped-def]
    for _ in range(times):
        right_hand_side(*given)


def price_of_python_ms(bench: Bench) -> float:
    """What one right-hand side asked through Python costs more than one asked by compiled code [ms]."""
    front, rear = valve_rows(bench.run.grid, bench.run.start, list(bench.run.timeline[:1]), bench.run.timeline[0].t_s)
    y = first_state(bench.lumped, bench.run.start)
    given = (y, np.empty_like(y), *rest_of(bench.lumped, front, rear))
    _asked_often(1, *given)
    compiled = best_of(lambda: _asked_often(CALLS, *given))

    def by_python() -> None:
        for _ in range(CALLS):
            right_hand_side(*given)

    return (best_of(by_python) - compiled) / CALLS


def library_row(name: str, bench: Bench, stretch: Stretch, limit: tuple[float, float], call_ms: float) -> Row:
    """At the loosest tolerance that is as good as the fast solver, or at the last one."""
    parts = (bench.case, bench.run, bench.lumped, stretch)
    kept, said = (TOLERANCES[0], np.nan, np.nan), "  not as good at any tolerance"
    for rtol in TOLERANCES:
        try:
            readings, _, _ = by_library(*parts, rtol, bench.wanted)
        except ArithmeticError:
            continue  # gave up; a closer tolerance may do
        kept = (rtol, *errors(readings, bench.fine))
        if kept[1] <= limit[0] and kept[2] <= limit[1]:
            said = ""
            break
    try:
        _, steps, calls = by_library(*parts, kept[0], np.empty(0))
        ms = best_of(lambda: by_library(*parts, kept[0], np.empty(0)), 1 if said else 5)
    except ArithmeticError:  # where steps of no length are near, reading on the way can decide
        return Row(f"{name}, {kept[0]:g}", 0, np.nan, np.nan, kept[1], kept[2], f"{said}; gives up when timed")
    return Row(f"{name}, {kept[0]:g}", steps, ms, ms - calls * call_ms, kept[1], kept[2], said)


def print_table(rows: Sequence[Row]) -> None:
    """Name, steps, time, error, and time over that of the first."""
    first = rows[0].ms
    print(f"{'solver, relative tolerance':30s} {'steps':>7s} {'ms':>9s} {'mean mbar':>10s} {'99 % mbar':>10s} {'ratio':>8s}"
          f" {'in C, ms':>9s} {'ratio':>8s}")  # fmt: skip
    for row in rows:
        print(f"{row.name:30s} {row.steps:7d} {row.ms:9.2f} {row.mean_mbar:10.2f} {row.worst_mbar:10.1f}"
              f" {row.ms / first:8.1f} {row.bare_ms:9.2f} {row.bare_ms / first:8.1f}{row.said}")  # fmt: skip


def bench_of(case: AirCase) -> Bench:
    """The case with the fine solver's readings."""
    slow, wanted = air_run_of(case), np.round(np.arange(EVERY_S, case.end_s, EVERY_S), 6)
    exact = advance(slow.grid, slow.start, slow.timeline, case.end_s, "isothermal", probes_of(case), 0.02)
    run = fast_run_of(case)
    return Bench(case, run, lumped_of(run.grid), wanted, at_times(wanted, exact.t_s, exact.readings_pa))


def main() -> None:
    """Print the table."""
    case = load_air_cases(CASE).cases[0]
    bench = bench_of(case)
    run, lumped = bench.run, bench.lumped
    result = advance_fast(run.grid, run.start, (run.timeline,), case.end_s, probes_of(case))
    limit = errors(at_times(bench.wanted, result.t_s, result.readings_pa[:, :, 0]), bench.fine)
    fast_ms = best_of(lambda: advance_fast(run.grid, run.start, (run.timeline,), case.end_s), 30)
    call_ms, rows = price_of_python_ms(bench), [Row("fast", result.steps, fast_ms, fast_ms, *limit)]
    try:
        rows.append(library_row("CVODE, order 2, band", bench, cvode_stretch(lumped), limit, call_ms))
    except ImportError:
        print("CVODE left out: scikit-sundae is not installed (requirements/bench.txt)")
    for method in ("LSODA", "BDF", "Radau"):
        rows.append(library_row(f"SciPy {method}", bench, scipy_stretch(method, lumped), limit, call_ms))
    print_table(rows)


if __name__ == "__main__":
    main()
