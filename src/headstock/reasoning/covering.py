"""The cheapest set of looks that shows everything that should be seen: set cover, solved exactly by SciPy's milp (HiGHS)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp


@dataclass(frozen=True, slots=True)
class Cover:
    """The looks taken (numbers), what they cost, and what no look shows (numbers)."""

    looks: tuple[int, ...]
    cost: float
    never_shown: tuple[int, ...]


def smallest_cover(shows: NDArray[np.bool_], costs: Sequence[float]) -> Cover:
    """The cheapest set; of sets as cheap the one with fewest looks, then the first by number.

    ``shows``: (looks, things), whether a look shows a thing. ``costs`` of the looks, not negative. What no look shows is told
    apart. Raises RuntimeError should the solver not prove its answer.
    """
    able = shows.any(axis=0) if len(shows) else np.zeros(shows.shape[1], dtype=bool)
    never = tuple(int(thing) for thing in np.flatnonzero(~able))
    wanted = np.unique(shows[:, able], axis=1)
    if wanted.shape[1] == 0:
        return Cover((), 0.0, never)
    price = np.asarray(costs, dtype=np.float64)
    every = LinearConstraint(wanted.T.astype(float), lb=1.0)
    cheapest = float(price @ _solved(price, [every]))
    no_dearer = LinearConstraint(price[None, :], ub=cheapest + 1e-6)
    fewest_then_first = 1.0 + np.arange(len(price)) / (len(price) + 1) ** 2
    taken = np.flatnonzero(_solved(fewest_then_first, [every, no_dearer]))
    return Cover(tuple(int(look) for look in taken), float(price[taken].sum()), never)


def _solved(objective: NDArray[np.float64], constraints: Sequence[LinearConstraint]) -> NDArray[np.float64]:
    answer = milp(objective, integrality=np.ones(len(objective)), bounds=Bounds(0.0, 1.0), constraints=constraints,
                  options={"mip_rel_gap": 0.0})  # fmt: skip
    if answer.status != 0:
        raise RuntimeError(f"the solver did not prove its answer: {answer.message}")
    return np.asarray(np.round(answer.x))
