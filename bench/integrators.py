"""General integrators of SciPy and of SUNDIALS as stretches of the bench: from one change of the valves to the next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from bench.lumped_equations import Lumped
from headstock.physics.arrays import Floats

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


def capped_lsoda_stretch(lumped: Lumped) -> Stretch:
    """LSODA with its formulas for stiff equations kept to order 2, as SciPy's older interface allows."""
    from scipy.integrate import ode  # noqa: PLC0415  (an extra)

    def over(fill: Fill, start: float, stop: float, y: Floats, wanted: Floats, rtol: float) -> Solved:
        def rhs(t: float, state: Floats) -> Floats:
            out = np.empty_like(state)
            fill(t, np.ascontiguousarray(state), out)
            return out

        solver = ode(rhs).set_integrator("lsoda", rtol=rtol, atol=rtol * scale_of(lumped), lband=lumped.band, uband=lumped.band,
                                         max_order_s=2, nsteps=1_000_000)  # fmt: skip
        solver.set_initial_value(y, start)
        states = [solver.integrate(t).copy() for t in wanted]
        last = solver.integrate(stop) if not wanted.size or wanted[-1] < stop else states[-1]
        if not solver.successful():
            raise ArithmeticError(f"stopped with {solver.get_return_code()}")
        steps = 0 if wanted.size else int(solver._integrator.iwork[10])
        return Solved(np.array(states).reshape(-1, y.size), last.copy(), steps)

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
