"""The fast solver against general integrators on the same lumped equations, at the same accuracy, in one run on one thread.

``PYTHONPATH=src:. python -m bench.fast_against_libraries``. SUNDIALS comes through the package scikit-sundae: install
``requirements/bench.txt`` (``pip install --require-hashes -r``) into an environment of its own; without it CVODE is left out and
said to be. Let nothing else run meanwhile.

Case: twelve vehicles, twelve minutes (`speed-case`), without what is read on the way when it is timed. Error: against the fine
solver, isothermal: front, rear, every pipe and cylinder, each tenth of a second. Every integrator is run at every one of the
fixed tolerances, and all of it is printed. Error is not always smaller with a closer tolerance, so two readings are given: the
loosest that *happens to do*, where mean and 99 % are both no greater than the fast solver's, and the loosest *dependable* one,
where that holds for every closer one tried as well. The second is what somebody would have to set who cannot look the error up,
and the one that figures are taken from; the first is there so that nothing is hidden. Integrators ask a compiled right-hand side
through Python; ``in C`` takes off what that costs them (right-hand sides asked for, times the price of a call). It judges
nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from math import nan
from pathlib import Path
from time import perf_counter
from typing import Any

import numba
import numpy as np

from bench.integrators import Fill, Stretch, capped_lsoda_stretch, cvode_stretch, scipy_stretch
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
CALLS, AGAIN = 20_000, 5


@dataclass(frozen=True)
class Tried:
    """One tolerance of one integrator: error [mbar], steps, time as asked through Python and as in C [ms]; none: it gave up."""

    rtol: float
    mean_mbar: float = nan
    worst_mbar: float = nan
    steps: int = 0
    ms: float = nan
    bare_ms: float = nan

    def is_as_good(self, limit: tuple[float, float]) -> bool:
        """Whether neither mean nor 99 % is above a limit."""
        return self.mean_mbar <= limit[0] and self.worst_mbar <= limit[1]


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


def happens_to_do(tried: Sequence[Tried], limit: tuple[float, float]) -> int | None:
    """The number of the loosest tolerance that is as good as a limit, whatever closer ones are; they stand loosest first."""
    return next((n for n, one in enumerate(tried) if one.is_as_good(limit)), None)


def dependable(tried: Sequence[Tried], limit: tuple[float, float]) -> int | None:
    """The number of the loosest tolerance that is as good as a limit with every closer one that was tried."""
    good = [one.is_as_good(limit) for one in tried]
    return next((n for n in range(len(tried)) if all(good[n:])), None)


def every_tolerance(bench: Bench, stretch: Stretch, call_ms: float) -> list[Tried]:
    """An integrator at all of them, loosest first: once for the errors, once for the time."""
    parts, found = (bench.case, bench.run, bench.lumped, stretch), []
    for rtol in TOLERANCES:
        try:
            readings, _, _ = by_library(*parts, rtol, bench.wanted)
        except ArithmeticError:
            found.append(Tried(rtol))
            continue
        one = Tried(rtol, *errors(readings, bench.fine))
        try:
            found.append(timed(bench, stretch, one, call_ms, 1))
        except ArithmeticError:  # where steps of no length are near, reading on the way can decide
            found.append(one)
    return found


def timed(bench: Bench, stretch: Stretch, one: Tried, call_ms: float, times: int) -> Tried:
    """The same with steps and the least time of some tries. Raises ArithmeticError when the integrator gives up."""
    parts, counts = (bench.case, bench.run, bench.lumped, stretch, one.rtol, np.empty(0)), [0, 0]

    def work() -> None:
        _, counts[0], counts[1] = by_library(*parts)

    ms = best_of(work, times)
    return replace(one, steps=counts[0], ms=ms, bare_ms=ms - counts[1] * call_ms)


def say_library(name: str, bench: Bench, stretch: Stretch, limit: tuple[float, float], call_ms: float, fast_ms: float) -> None:
    """Every tolerance, then both readings, those timed as the fast solver is."""
    tried = every_tolerance(bench, stretch, call_ms)
    for one in tried:
        print_row(name, one, fast_ms, "" if one.is_as_good(limit) else "  not as good" if one.mean_mbar >= 0.0 else "  gives up")
    for reading, number in (("happens to do", happens_to_do(tried, limit)), ("dependable", dependable(tried, limit))):
        if number is None:
            print(f"{name}, {reading}: none")
        elif not tried[number].ms >= 0.0:
            print(f"{name}, {reading}: {tried[number].rtol:g}, gives up when timed")
        else:
            print_row(f"{name}, {reading}:", timed(bench, stretch, tried[number], call_ms, AGAIN), fast_ms, "")


def print_row(name: str, one: Tried, fast_ms: float, said: str) -> None:
    """One line of the table."""
    print(f"{name:36s} {one.rtol:7g} {one.steps:7d} {one.ms:9.2f} {one.mean_mbar:10.2f} {one.worst_mbar:10.1f}"
          f" {one.ms / fast_ms:8.1f} {one.bare_ms:9.2f} {one.bare_ms / fast_ms:8.1f}{said}", flush=True)  # fmt: skip


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
    call_ms = price_of_python_ms(bench)
    print(f"{'solver':36s} {'rtol':>7s} {'steps':>7s} {'ms':>9s} {'mean mbar':>10s} {'99 % mbar':>10s} {'ratio':>8s}"
          f" {'in C, ms':>9s} {'ratio':>8s}")  # fmt: skip
    print_row("fast", Tried(nan, *limit, result.steps, fast_ms, fast_ms), fast_ms, "")
    stretches_of = {"CVODE, order 2, band": cvode_stretch, "LSODA, order 2": capped_lsoda_stretch} | {
        f"SciPy {method}": partial(scipy_stretch, method) for method in ("LSODA", "BDF", "Radau")
    }
    for name, made in stretches_of.items():
        try:
            say_library(name, bench, made(lumped), limit, call_ms, fast_ms)
        except ImportError:
            print(f"{name} left out: its package is not installed (requirements/bench.txt)")


if __name__ == "__main__":
    main()
