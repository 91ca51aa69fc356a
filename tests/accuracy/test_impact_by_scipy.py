"""A chain of unlike vehicles and gears against an integrator of other hands: pushes, and the pulls as the shock comes back."""

from __future__ import annotations

import numpy as np
import pytest

from headstock.physics.draft_gear import DraftGear, in_series, linear_gear, measured_gear
from headstock.physics.impact import chain_impact
from headstock.physics.impact_march import TURN_M_S

solve_ivp = pytest.importorskip("scipy.integrate", reason="SciPy comes with the library fluids").solve_ivp
MASSES_KG = np.array([44e3, 38e3, 52e3, 30e3, 61e3])
HIT, SPEED_M_S, UNTIL_S = 2, 1.1, 0.8
SOFT = measured_gear([(0.02, 90e3), (0.06, 500e3), (0.09, 1100e3)], returns=0.6)


def _gears(returns: float) -> list[DraftGear]:
    hit = in_series(SOFT, linear_gear(9e6, 0.1, returns))
    return [linear_gear(25e6, 0.05, returns), linear_gear(40e6, 0.05), hit, linear_gear(18e6, 0.06, returns)]


def _force(gear: DraftGear, stroke: float, rate: float, pulls: bool) -> float:
    if stroke < 0.0 and not pulls:
        return 0.0
    size = gear.force_at(abs(stroke))
    if gear.returns < 1.0:
        toward = rate if stroke > 0.0 else -rate
        size *= 0.5 * (1 + gear.returns) + 0.5 * (1 - gear.returns) * float(np.tanh(toward / TURN_M_S))
    return size if stroke > 0.0 else -size


@pytest.mark.outside(source="independent integration", clause="SciPy solve_ivp, DOP853, rtol 1e-8", status="computed")
@pytest.mark.parametrize("returns", [1.0, 0.7])
def test_a_chain_of_unlike_vehicles_and_gears_pushes_and_pulls_as_elsewhere_reckoned(returns: float) -> None:
    gears, count = _gears(returns), MASSES_KG.size

    def forces(y: np.ndarray) -> np.ndarray:
        x, v = y[:count], y[count:]
        return np.array([_force(gear, x[n] - x[n + 1], v[n] - v[n + 1], n != HIT) for n, gear in enumerate(gears)])

    def rates(t: float, y: np.ndarray) -> np.ndarray:
        f = forces(y)
        return np.concatenate([y[count:], (np.append(0.0, f) - np.append(f, 0.0)) / MASSES_KG])

    start = np.concatenate([np.zeros(count), np.where(np.arange(count) <= HIT, SPEED_M_S, 0.0)])
    found = solve_ivp(rates, (0.0, UNTIL_S), start, method="DOP853", rtol=1e-8, atol=1e-10, max_step=2e-4)
    all_forces = np.array([forces(y) for y in found.y.T])
    mine = chain_impact(MASSES_KG[: HIT + 1], MASSES_KG[HIT + 1 :], SPEED_M_S, gears[:HIT], gears[HIT], gears[HIT + 1 :], UNTIL_S)
    assert mine.push_n == pytest.approx(all_forces.max(axis=0), rel=2e-3)
    assert mine.pull_n == pytest.approx(np.maximum(-all_forces.min(axis=0), 0.0), rel=5e-3, abs=500.0)
    assert min(mine.pull_n[0], mine.pull_n[1]) > 5e4 and mine.pull_n[HIT] == 0.0
