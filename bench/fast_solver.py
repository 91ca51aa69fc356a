"""The fast solver's figures: one case against the fine solver, blocks of varied scenarios, threads, growth, memory, peak.

Run it from the top of the tree: ``PYTHONPATH=src:. python -m bench.fast_solver``. It prints figures and judges nothing; let
nothing else run meanwhile. The case is `speed-case`: twelve vehicles, twelve minutes; lane 0 is the case itself, the others have
varied leaks, valve areas and one part-open cock.
"""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from math import inf
from pathlib import Path
from time import perf_counter

import numba
import numpy as np

from bench.many_trains import say_many
from headstock.equipment.library import load_fleet
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.arrays import Floats
from headstock.physics.fast import (
    CLOSE_STEPS,
    MANY_STEPS,
    advance_fast,
    still_air_fast,
)
from headstock.physics.fast_grid import FastGrid, fast_grid_of
from headstock.physics.fast_layout import lane_table, pipe_table, side_table
from headstock.physics.fast_run import answer_fast
from headstock.physics.fast_state import FastState, Steps
from headstock.physics.fine import advance
from headstock.physics.pipe_network import SHUT, Change, GateSetting, PipeNetwork, ValveSetting
from headstock.usecases.air_case_checks import load_air_cases
from headstock.usecases.air_case_network import FastCaseRun, air_run_of, fast_run_of
from headstock.usecases.forecast_job import forecast_of, train_under_test
from headstock.usecases.plan_job import plan_job

CASE = load_air_cases(Path(__file__).parents[1] / "tests/accuracy/air_examples/speed-case.json").cases[0]
JOB = Path(__file__).parents[1] / "src/headstock/usecases/jobs/demo-attach.yaml"
DIVISIONS, ROOTS = 3, 1
"""Of one cell and step, at the least (counted by hand)."""
Block = tuple[FastGrid, FastState, Sequence[Sequence[Change]]]


def best_of(work: Callable[[], object], times: int = 5) -> float:
    """The least seconds of some tries."""
    least = inf
    for _ in range(times):
        began = perf_counter()
        work()
        least = min(least, perf_counter() - began)
    return least


def wider(change: Change, factor: float, later_s: float) -> Change:
    """A change with its areas times a factor, some time later."""
    if not isinstance(change.to, ValveSetting):
        return change
    to = replace(change.to, feed_area_m2=factor * change.to.feed_area_m2, exhaust_area_m2=factor * change.to.exhaust_area_m2)
    return replace(change, to=to, t_s=change.t_s + later_s if change.t_s > 0.0 else 0.0)


def block_of(run: FastCaseRun, lanes: int, seed: int, mixed: bool = False) -> Block:
    """Varied lanes; with ``mixed`` each has its own times as well."""
    dice = np.random.default_rng(seed)
    base = run.grid.networks[0]
    networks: list[PipeNetwork] = []
    gates, lines = [], []
    for lane in range(lanes):
        leaks = dice.uniform(0.0, 0.2e-6, len(base.brakes))
        brakes = tuple(replace(brake, leak_area_m2=float(leak)) for brake, leak in zip(base.brakes, leaks, strict=True))
        networks.append(base if lane == 0 else replace(base, brakes=brakes))
        settings = [GateSetting()] * len(base.gates)
        if lane:
            settings[dice.integers(len(settings))] = GateSetting(float(dice.uniform(0.1, 1.0)))
        gates.append(tuple(settings))
        factor, later_s = (dice.uniform(0.7, 1.4), dice.uniform(0.0, 20.0) if mixed else 0.0) if lane else (1.0, 0.0)
        lines.append([wider(change, factor, later_s) for change in run.timeline])
    grid = fast_grid_of(networks)
    pipe, _, chamber, reservoir, _ = run.start.now
    still = still_air_fast(grid, pipe, chamber, reservoir, run.start.cylinder, tuple(gates), ((SHUT, SHUT),) * lanes)
    return grid, still, lines


def answer(block: Block, steps: Steps = CLOSE_STEPS) -> int:
    """Steps of a block from rest to the end, all lanes together."""
    return int(advance_fast(*block, CASE.end_s, (), steps).lane_steps.sum())


def say_blocks(run: FastCaseRun, fine_s: float) -> None:
    """Blocks of one schedule and of mixed ones."""
    for lanes, mixed in ((1, False), (16, False), (32, False), (64, False), (32, True), (64, True)):
        block = block_of(run, lanes, 1, mixed)
        for name, control in (("close", CLOSE_STEPS), ("many", MANY_STEPS)):
            steps = answer(block, control)
            seconds = best_of(lambda block=block, control=control: answer(block, control))  # type: ignore[misc]
            a_cell_ns = seconds / steps / block[0].cells * 1e9
            print(
                f"fast, steps {name:5s} {lanes:2d} lanes{', mixed times' if mixed else '':13s} {steps / lanes:5.0f} steps"
                f" {seconds * 1e3:8.2f} ms, {lanes / seconds:6.0f} runs/s, {a_cell_ns:5.1f} ns a cell and step,"
                f" {fine_s * lanes / seconds:7.0f} times fine"
            )


def say_threads(run: FastCaseRun) -> None:
    """The same number of scenarios in few large blocks and in many small ones, from a queue: on one thread and on two.

    Threads share no tables. They share Python's lock while a block is made ready, and wait for one another's last block.
    """
    for count, lanes in ((8, 32), (32, 8)):
        blocks = [block_of(run, lanes, seed) for seed in range(count)]
        one_s = best_of(lambda blocks=blocks: [answer(block) for block in blocks])  # type: ignore[misc]
        with ThreadPoolExecutor(2) as pool:
            two_s = best_of(lambda blocks=blocks, pool=pool: list(pool.map(answer, blocks)))  # type: ignore[misc]
        print(f"two threads over {count} blocks of {lanes} lanes: {one_s / two_s:.2f} times one thread,"
              f" {count * lanes / two_s:.0f} runs/s")  # fmt: skip


def say_growth() -> None:
    """Trains of 4 to 80 vehicles, nanoseconds a step, and the exponent of the line through them."""
    counts, times = (4, 8, 20, 40, 80), []
    for count in counts:
        run = fast_run_of(CASE.model_copy(update={"vehicles": count, "cocks": {}, "ask": CASE.ask[:1]}))
        block = (run.grid, run.start, [run.timeline])
        times.append(best_of(lambda block=block: answer(block)) / answer(block))  # type: ignore[misc]
    exponent = np.polyfit(np.log(counts), np.log(times), 1)[0]
    print("growth: " + ", ".join(f"{n} vehicles {t * 1e6:.2f} us a step" for n, t in zip(counts, times, strict=True))
          + f"; exponent {exponent:.2f}")  # fmt: skip


def say_memory(run: FastCaseRun, lanes: int = 32) -> None:
    """What a block keeps, a lane: its state, the grid's arrays, the room to work in."""
    tracemalloc.start()
    grid, still, lines = block_of(run, lanes, 1)
    advance_fast(grid, still, lines, CASE.end_s)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    state = sum(part.nbytes for part in (*still.now, *still.before, still.cylinder, still.drawn))
    arrays = sum(part.nbytes for part in vars_of(grid))
    room = lanes // 8 * (pipe_table(grid.cells, 8).nbytes + side_table(CASE.vehicles, 8).nbytes + lane_table().nbytes)
    sizes = ", ".join(
        f"{name} {size / lanes / 1e3:.1f} kB" for name, size in (("state", state), ("grid", arrays), ("work", room))
    )
    print(f"memory a scenario: {sizes}; traced at most {peak / lanes / 1e3:.1f} kB (without what compiled code takes to work in)")


def vars_of(grid: FastGrid) -> list[Floats]:
    """The arrays of a grid."""
    return [value for name in grid.__slots__ if isinstance(value := getattr(grid, name), np.ndarray)]


@numba.njit(error_model="numpy", fastmath={"contract", "arcp", "nsz"})
def _divide(a: Floats, b: Floats, times: int) -> None:
    for _ in range(times):
        for j in range(a.size):
            a[j] = b[j] / a[j]


@numba.njit(error_model="numpy", fastmath={"contract", "arcp", "nsz"})
def _root(a: Floats, times: int) -> None:
    for _ in range(times):
        for j in range(a.size):
            a[j] = np.sqrt(a[j])


def say_peak(a_cell_ns: float) -> None:
    """The machine's divisions and roots, and the part of that bound that a cell and step reaches."""
    a, b = np.full(1024, 1.3), np.full(1024, 1.7)
    _divide(a, b, 1)
    _root(a, 1)
    divide_ns, root_ns = (best_of(work) / 2000 / 1024 * 1e9 for work in (lambda: _divide(a, b, 2000), lambda: _root(a, 2000)))
    bound_ns = DIVISIONS * divide_ns + ROOTS * root_ns
    print(f"a division {divide_ns:.2f} ns, a root {root_ns:.2f} ns: bound {bound_ns:.2f} ns a cell and step, "
          f"reached {100 * bound_ns / a_cell_ns:.0f} %")  # fmt: skip


def say_forecast() -> None:
    """The healthy run of the brake test of the invented train of two units of four, and all runs of its forecast."""
    seconds: list[float] = []

    def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        traces = []
        for one in runs:
            began = perf_counter()
            traces.append(answer_fast(one))
            seconds.append(perf_counter() - began)
        return tuple(traces)

    fleet = load_fleet()
    plan = plan_job(JOB, fleet)
    forecast_of(plan, engine)
    tested = train_under_test(plan)
    assert tested is not None, "the demonstration job is planned"
    vehicles = sum(len(list(unit.vehicle_suffixes)) for unit in tested.train.units)
    first, seconds[:] = seconds[0], []
    forecast_of(plan, engine)
    print(f"forecast, {vehicles} vehicles, both pipes and all gear: {seconds[0] * 1e3:.1f} ms the healthy run"
          f" ({first * 1e3:.0f} the first time), {len(seconds)} runs {sum(seconds):.2f} s")  # fmt: skip


def main() -> None:
    """Print the figures."""
    run, slow = fast_run_of(CASE), air_run_of(CASE)
    advance(slow.grid, slow.start, (), 0.01, "isothermal")
    fine_s = best_of(lambda: advance(slow.grid, slow.start, slow.timeline, CASE.end_s, "isothermal", (), 0.1), 1)
    print(f"fine, cells of 0.5 m {fine_s:9.3f} s")
    say_blocks(run, fine_s)
    block = block_of(run, 32, 1)
    say_peak(best_of(lambda: answer(block)) / answer(block) / block[0].cells * 1e9)
    say_threads(run)
    say_growth()
    say_memory(run)
    say_forecast()
    say_many()


if __name__ == "__main__":
    main()
