"""Compiled tridiagonal sweeps of the fast solver, many lanes at a time or one lane from both ends.

Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats


@kernel
def sweeps(low: Floats, high: Floats, b: Floats, inverse: Floats, run: Floats, new: Floats) -> None:
    """Solves the tridiagonal system of every lane: down (reciprocals and right sides into ``inverse`` and ``run``), then up."""
    n, lanes = low.shape
    if lanes == 1 and n > 2:
        _sweeps_of_one(low, high, b, inverse, run, new)
        return
    for w in range(lanes):
        inverse[0, w] = 1.0 / low[0, w]
        run[0, w] = high[0, w]
    for i in range(1, n):
        for w in range(lanes):
            m = b[i, w] * inverse[i - 1, w]
            inverse[i, w] = 1.0 / (low[i, w] - m * b[i, w])
            run[i, w] = high[i, w] + m * run[i - 1, w]
    for w in range(lanes):
        new[n - 1, w] = run[n - 1, w] * inverse[n - 1, w]
    for i in range(n - 2, -1, -1):
        for w in range(lanes):
            new[i, w] = (run[i, w] + b[i + 1, w] * new[i + 1, w]) * inverse[i, w]


@kernel
def _sweeps_of_one(low: Floats, high: Floats, b: Floats, inverse: Floats, run: Floats, new: Floats) -> None:
    """The same for one lane from both ends towards the middle at once: half as many divisions wait for one another."""
    n = low.shape[0]
    middle = n // 2
    front, rear = 1.0 / low[0, 0], 1.0 / low[n - 1, 0]
    at_front, at_rear = high[0, 0], high[n - 1, 0]
    inverse[0, 0], run[0, 0], inverse[n - 1, 0], run[n - 1, 0] = front, at_front, rear, at_rear
    for i in range(1, middle):
        k = n - 1 - i
        m, u = b[i, 0] * front, b[k + 1, 0] * rear
        front = 1.0 / (low[i, 0] - m * b[i, 0])
        rear = 1.0 / (low[k, 0] - u * b[k + 1, 0]) if k > middle else rear
        at_front = high[i, 0] + m * at_front
        at_rear = high[k, 0] + u * at_rear if k > middle else at_rear
        inverse[i, 0], run[i, 0] = front, at_front
        if k > middle:
            inverse[k, 0], run[k, 0] = rear, at_rear
    m, u = b[middle, 0] * front, b[middle + 1, 0] * rear
    top = high[middle, 0] + m * at_front + u * at_rear
    new[middle, 0] = top / (low[middle, 0] - m * b[middle, 0] - u * b[middle + 1, 0])
    up = down = new[middle, 0]
    for i in range(middle - 1, -1, -1):
        up = (run[i, 0] + b[i + 1, 0] * up) * inverse[i, 0]
        new[i, 0] = up
        k = 2 * middle - i
        if k < n:
            down = (run[k, 0] + b[k, 0] * down) * inverse[k, 0]
            new[k, 0] = down
