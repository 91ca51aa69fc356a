"""Pipes and states for holding the fine solver against exact solutions.

Friction is switched off, or made constant, without touching the kernels: they read the bore only for friction and wall heat,
so a grid told of an immense bore (its area kept) has neither, and ``loss_per_m`` is then f/D exactly.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from headstock.physics.fine import AirState, FineResult, mass_kg, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.pipe_network import Gate, Piece, PipeNetwork, ValveSetting

WARM_K = 293.15
FULL_PA, LOW_PA = 601325.0, 101325.0
BORE_M = 0.032
R_AIR, CV = 287.05, 287.05 / 0.4


def bare_pipe(length_m: float, cell_m: float, friction_per_m: float = 0.0, bore_m: float = BORE_M, **network: object) -> FineGrid:
    """One pipe whose friction is f/D = ``friction_per_m`` [1/m] at any speed, with no wall heat."""
    grid = grid_of(PipeNetwork((Piece(length_m, bore_m, 0.0),), ambient_k=WARM_K, **network), cell_m)  # type: ignore[arg-type]
    return constant_friction(grid, friction_per_m)


def constant_friction(grid: FineGrid, friction_per_m: float = 0.0) -> FineGrid:
    """The same grid with f/D as given [1/m] and no wall heat."""
    return replace(grid, bore_m=np.full(grid.cells, 1e12), loss_per_m=np.full(grid.cells, friction_per_m))


def moving_air(grid: FineGrid, p: object, u: object = 0.0, temperature_k: object = WARM_K, **settings: object) -> AirState:
    """Air of given pressure [Pa], speed [m/s] and temperature [K], one number or one per cell."""
    ones = np.ones(grid.cells)
    pressure, speed, warm = ones * p, ones * u, ones * temperature_k  # type: ignore[operator]
    rho = pressure / (R_AIR * warm)
    cells = np.array([rho, rho * speed, pressure / 0.4 + 0.5 * rho * speed**2])
    state = replace(still_air(grid, FULL_PA, FULL_PA, FULL_PA, 0.0, **settings), cells=cells)  # type: ignore[arg-type]
    return replace(state, first_mass_kg=mass_kg(grid, state))


def cell_pa(grid: FineGrid, state: AirState, heat: bool) -> np.ndarray:
    """Pressure of every cell [Pa]."""
    rho, momentum, energy = state.cells
    return 0.4 * (energy - 0.5 * momentum**2 / rho) if heat else rho * R_AIR * grid.network.ambient_k


def middles(grid: FineGrid) -> np.ndarray:
    """Places of the cells [m]."""
    return (np.arange(grid.cells) + 0.5) * grid.cell_m


def held_at(pressure_pa: float, area_m2: float = 1.0) -> ValveSetting:
    """An end that holds a pressure, letting air in or out as needed."""
    return ValveSetting(pressure_pa, area_m2, np.inf, area_m2, pressure_pa, 1.0)


def when(result: FineResult, probe: int, level_pa: float) -> float:
    """First time [s] at which a probe passes a level, either way."""
    y = result.readings_pa[:, probe] - level_pa
    first = int(np.nonzero(np.sign(y[1:]) != np.sign(y[0]))[0][0])
    return float(result.t_s[first] + y[first] / (y[first] - y[first + 1]) * (result.t_s[first + 1] - result.t_s[first]))


def two_ends(length_m: float) -> dict[str, object]:
    """A valve at either end."""
    return {"valves_at_m": (0.0, length_m)}


def gate_in_the_middle(length_m: float, area_m2: float = 1e-3) -> dict[str, object]:
    """A gate half-way."""
    return {"gates": (Gate(length_m / 2, area_m2),)}
