"""Compiled tridiagonal solve of the fast solver for one lane, from both ends towards the middle at once.

Elimination without divisions on the way: each row is divided by its diagonal beforehand and by what is left of it afterwards,
eight rows at a time, so that only one multiplication waits for another.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare, within
from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH, load, store
from headstock.physics.fast_layout import BACKWARD, FORWARD, GIVEN, HIGH, LEAD, LOW, NEW, SHARE, SUM, WEIGHT, B

STRETCH, SMALL, LARGE = 256, 1e-60, 1e60
"""Weights at most halve from cell to cell: so many cells on they are looked at."""


@bare
def sweep(pipe: Floats, first: int, behind: int, given: int, found: int) -> None:
    """Solves cells ``first`` to before ``behind`` with the right side in row ``given``, into row ``found``."""
    start, stop = LEAD + first, LEAD + behind
    for j in range(start, stop, WIDTH):
        over = 1.0 / load(pipe, LOW, j)
        store(pipe, FORWARD, j, over * load(pipe, B, j - 1))
        store(pipe, BACKWARD, j, over * load(pipe, B, j))
        store(pipe, GIVEN, j, over * load(pipe, given, j))
    middle = start + (stop - start) // 2
    _eliminate(pipe, start, middle, stop)
    for j in range(start, stop, WIDTH):
        over = 1.0 / load(pipe, WEIGHT, j)
        store(pipe, SUM, j, over * load(pipe, SUM, j))
        store(pipe, SHARE, j, over * load(pipe, SHARE, j))
    if middle == start:
        pipe[SUM, middle - 1], pipe[SHARE, middle - 1] = 0.0, 0.0
    pipe[SUM, stop], pipe[SHARE, stop] = 0.0, 0.0
    ahead, back = pipe[FORWARD, middle], pipe[BACKWARD, middle]
    top = pipe[GIVEN, middle] + ahead * pipe[SUM, middle - 1] + back * pipe[SUM, middle + 1]
    up = down = top / (1.0 - ahead * pipe[SHARE, middle - 1] - back * pipe[SHARE, middle + 1])
    pipe[found, middle] = up
    for away in range(1, stop - middle):
        up = pipe[SUM, middle - away] + pipe[SHARE, middle - away] * up
        down = pipe[SUM, middle + away] + pipe[SHARE, middle + away] * down
        pipe[found, middle - away], pipe[found, middle + away] = up, down
    if middle - start == stop - middle:
        pipe[found, start] = pipe[SUM, start] + pipe[SHARE, start] * up


@bare
def _eliminate(pipe: Floats, start: int, middle: int, stop: int) -> None:
    """From either end: each cell is (``SUM`` + ``SHARE`` x the next towards the middle) / ``WEIGHT``."""
    last, weight, total, back = 1.0, 1.0, 0.0, 0.0
    last_k, weight_k, total_k, ahead_k = 1.0, 1.0, 0.0, 0.0
    for first in range(start, middle, STRETCH):
        for i in range(first, min(middle, first + STRETCH)):
            ahead, given = pipe[FORWARD, i], pipe[GIVEN, i]
            weight, last, total = weight - ahead * back * last, weight, given * weight + ahead * total
            back = pipe[BACKWARD, i]
            pipe[WEIGHT, i], pipe[SUM, i], pipe[SHARE, i] = weight, total, back * last
            k = start + stop - 1 - i
            back_k, given_k = pipe[BACKWARD, k], pipe[GIVEN, k]
            weight_k, last_k, total_k = weight_k - back_k * ahead_k * last_k, weight_k, given_k * weight_k + back_k * total_k
            ahead_k = pipe[FORWARD, k]
            pipe[WEIGHT, k], pipe[SUM, k], pipe[SHARE, k] = weight_k, total_k, ahead_k * last_k
        weight, last, total = _larger(weight, last, total)
        weight_k, last_k, total_k = _larger(weight_k, last_k, total_k)


@within
def _larger(weight: float, last: float, total: float) -> tuple[float, float, float]:
    """The same share of each, before they get too small to be told."""
    times = LARGE if weight < SMALL else 1.0
    return times * weight, times * last, times * total


@bare
def sweep_eight(pipe: Floats, cells: int) -> None:
    """Solves all cells (four at least) of eight lanes, from both ends towards the middle at once."""
    first, last, middle = LEAD, LEAD + (cells - 1) * WIDTH, cells // 2
    front, at_front = 1.0 / load(pipe, LOW, first), load(pipe, HIGH, first)
    rear, at_rear = 1.0 / load(pipe, LOW, last), load(pipe, HIGH, last)
    store(pipe, WEIGHT, first, front)
    store(pipe, SUM, first, at_front)
    store(pipe, WEIGHT, last, rear)
    store(pipe, SUM, last, at_rear)
    for i in range(1, cells - 1 - middle):
        j, k = first + i * WIDTH, last - i * WIDTH
        b, c = load(pipe, B, j - WIDTH), load(pipe, B, k)
        m, u = b * front, c * rear
        front, at_front = 1.0 / (load(pipe, LOW, j) - m * b), load(pipe, HIGH, j) + m * at_front
        rear, at_rear = 1.0 / (load(pipe, LOW, k) - u * c), load(pipe, HIGH, k) + u * at_rear
        store(pipe, WEIGHT, j, front)
        store(pipe, SUM, j, at_front)
        store(pipe, WEIGHT, k, rear)
        store(pipe, SUM, k, at_rear)
    j = first + middle * WIDTH
    if 2 * middle == cells:
        b = load(pipe, B, j - 2 * WIDTH)
        m = b * front
        front, at_front = 1.0 / (load(pipe, LOW, j - WIDTH) - m * b), load(pipe, HIGH, j - WIDTH) + m * at_front
        store(pipe, WEIGHT, j - WIDTH, front)
        store(pipe, SUM, j - WIDTH, at_front)
    b, c = load(pipe, B, j - WIDTH), load(pipe, B, j)
    m, u = b * front, c * rear
    up = (load(pipe, HIGH, j) + m * at_front + u * at_rear) / (load(pipe, LOW, j) - m * b - u * c)
    store(pipe, NEW, j, up)
    down = up
    for away in range(1, cells - middle):
        i, k = j - away * WIDTH, j + away * WIDTH
        up = (load(pipe, SUM, i) + load(pipe, B, i) * up) * load(pipe, WEIGHT, i)
        down = (load(pipe, SUM, k) + load(pipe, B, k - WIDTH) * down) * load(pipe, WEIGHT, k)
        store(pipe, NEW, i, up)
        store(pipe, NEW, k, down)
    if 2 * middle == cells:
        store(pipe, NEW, first, (load(pipe, SUM, first) + load(pipe, B, first) * up) * load(pipe, WEIGHT, first))
