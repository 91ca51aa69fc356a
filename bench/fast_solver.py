"""The fast solver's figures: one case against the fine solver, and blocks of varied scenarios side by side, one core.

Run it from the top of the tree: ``PYTHONPATH=src .venv-test/bin/python bench/fast_solver.py``. It prints figures and judges
nothing; let nothing else run meanwhile.
"""

from __future__ import annotations

from dataclasses import replace
from time import perf_counter

import numpy as np

from headstock.physics.fast import advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    Brake,
    Change,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    ValveSetting,
    open_to_atmosphere,
)

VEHICLES, PITCH_M, BORE_M = 12, 21.2, 0.0254
END_S = 720.0
AREA_M2 = np.pi / 4 * BORE_M**2


def pa(bar: float) -> float:
    """Absolute pressure of a gauge pressure."""
    return bar * 1e5 + ATMOSPHERE_PA


def network(leak_mm2: float | np.ndarray = 0.05) -> PipeNetwork:
    """Twelve vehicles with single-pipe brakes."""
    leaks = np.broadcast_to(leak_mm2, (VEHICLES,))
    pieces: list[Piece] = []
    for number in range(VEHICLES):
        pieces += [Piece(1.2, BORE_M, 5e-5, 1.0)] * (number > 0) + [Piece(20.0, BORE_M, 5e-5, 2.0)]
    gates = tuple(Gate(k * PITCH_M - 0.6, 0.7 * AREA_M2) for k in range(1, VEHICLES))
    brakes = tuple(
        Brake(k * PITCH_M + 10.0, 2e-3, 1e-6, 75e-3, 7e-6, True, 10e-3, 2.53333, 3.8e5, 4 / 3, 7.55, float(leaks[k]) / 1e6)
        for k in range(VEHICLES)
    )
    return PipeNetwork(tuple(pieces), gates, (0.0, VEHICLES * PITCH_M - 1.2), brakes)


def timeline(scale: float = 1.0) -> tuple[Change, ...]:
    """Charge, lap, full application, recharge, tail vent, emergency; valve areas times a factor."""
    release = ValveSetting(pa(8.5), scale * 200e-6, pa(5.0))
    running = ValveSetting(pa(5.0), scale * 100e-6)
    full = ValveSetting(exhaust_area_m2=scale * 45e-6, exhaust_to_pa=pa(3.5))
    moves = [(0, release), (240, running), (300, SHUT), (360, full), (420, SHUT), (480, running)]
    moves += [(660, ValveSetting(exhaust_area_m2=scale * 400e-6))]
    tail = [Change(600.0, 1, open_to_atmosphere(0.7 * AREA_M2)), Change(630.0, 1, SHUT)]
    return tuple(sorted([*(Change(float(t), 0, to) for t, to in moves), *tail], key=lambda change: change.t_s))


def best_of(work: object, times: int = 3) -> float:
    """The least seconds of some tries."""
    least = float("inf")
    for _ in range(times):
        began = perf_counter()
        work()  # type: ignore[operator]
        least = min(least, perf_counter() - began)
    return least


def main() -> None:
    """Print the figures."""
    plain = network()
    grid = grid_of(plain)
    start = still_air(grid, pa(0.0), pa(0.0), pa(0.0), 0.0)
    advance(grid, start, timeline()[:1], 0.01, "isothermal")
    fine_s = best_of(lambda: advance(grid, start, timeline(), END_S, "isothermal", (), 0.1), 1)
    print(f"fine, cells of 0.5 m          {fine_s:9.3f} s")
    dice = np.random.default_rng(1)
    for lanes in (1, 16, 32, 64):
        nets = [network(0.05 if k == 0 else dice.uniform(0.0, 0.2, VEHICLES)) for k in range(lanes)]
        lines = [timeline(1.0 if k == 0 else dice.uniform(0.7, 1.4)) for k in range(lanes)]
        gates = []
        for k in range(lanes):
            settings = [GateSetting()] * (VEHICLES - 1)
            if k:
                settings[dice.integers(VEHICLES - 1)] = GateSetting(dice.uniform(0.1, 1.0))
            gates.append(tuple(settings))
        block = fast_grid_of([replace(net) for net in nets])
        still = still_air_fast(block, pa(0.0), pa(0.0), pa(0.0), 0.0, tuple(gates), ((SHUT, SHUT),) * lanes)
        steps = advance_fast(block, still, lines, END_S).steps
        fast_s = best_of(lambda block=block, still=still, lines=lines: advance_fast(block, still, lines, END_S))
        a_cell_ns = fast_s / steps / lanes / block.cells * 1e9
        print(
            f"fast, {lanes:2d} lanes, {steps:5d} steps   {fast_s * 1e3:9.2f} ms, {lanes / fast_s:6.0f} runs/s, "
            f"{a_cell_ns:5.1f} ns a cell and step, {fine_s * lanes / fast_s:7.0f} times fine"
        )


if __name__ == "__main__":
    main()
