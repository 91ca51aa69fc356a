"""Compiled work of the fast solver over all cells and faces, eight places at a time (rows: ``fast_layout``).

What belongs to a lane's step (``ratio`` and so on) comes as eight numbers: of eight lanes, or eight times that of one lane.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.physics._compile import bare
from headstock.physics.arrays import Floats
from headstock.physics.eight import WIDTH, eight, load, select, store
from headstock.physics.eight import root as square_root
from headstock.physics.fast_layout import (
    BRANCH,
    CAP,
    DRAWN,
    EXTRA,
    GUESS,
    HIGH,
    LEAD,
    LOSS,
    LOW,
    MOMENTUM,
    NEW,
    P1,
    PULL,
    PUSH,
    Q1,
    REYNOLDS,
    ROUGH,
    ROUGH_FLOW,
    ROUGH_LAST,
    ROUGH_ROOT,
    SLIM,
    WALL,
    A,
    B,
    P,
    Q,
)
from headstock.physics.friction import LAMINAR_UP_TO, TURBULENT_FROM

LAMINAR_NUMBER = 64.0
"""Darcy factor times Reynolds number in laminar flow."""
LOWEST_PA, HIGHEST_PA = 1.0, 1e8
"""What a pressure may be at all."""


@bare
def look_ahead(pipe: Floats, until: int, lanes: int, ratio: Floats, fastest: float) -> None:
    """Extrapolated pressures, kept above half of what is there; momentum flux of each cell, no air faster than sound."""
    for j in range(LEAD, until, WIDTH):
        p = load(pipe, P, j)
        ahead, least = p + ratio * (p - load(pipe, P1, j)), 0.5 * p
        guess = select(ahead > least, ahead, least)
        through = load(pipe, Q, j - lanes) + load(pipe, Q, j)
        before = load(pipe, Q1, j - lanes) + load(pipe, Q1, j)
        mean = 0.5 * (through + ratio * (through - before))
        speed = mean * load(pipe, MOMENTUM, j) / guess
        speed = select(speed < fastest, speed, fastest)
        speed = select(speed > -fastest, speed, -fastest)
        store(pipe, GUESS, j, guess)
        store(pipe, PUSH, j, mean * speed)


@bare
def face_lines(pipe: Floats, until: int, lanes: int, ratio: Floats, now: Floats, before: Floats, short: Floats) -> None:
    """Each inner face: its new flow as a + b (pressure before - pressure behind), friction by Newton's form.

    All is multiplied by the root of the Reynolds number and the sum of both pressures, so that one division is enough.
    """
    span = 1.0 / (TURBULENT_FROM - LAMINAR_UP_TO)
    for j in range(LEAD, until, WIDTH):
        flow, earlier = load(pipe, Q, j), load(pipe, Q1, j)
        here, late = flow + ratio * (flow - earlier), now * flow - before * earlier
        size = abs(here)
        re = size * load(pipe, REYNOLDS, j)
        root = square_root(re + 1.0)
        share = (re - LAMINAR_UP_TO) * span
        share = select(share > 0.0, share, 0.0)
        share = select(share < 1.0, share, 1.0)
        rough = (load(pipe, ROUGH, j) * size + load(pipe, ROUGH_ROOT, j)) * root
        rough = rough + load(pipe, ROUGH_FLOW, j) * size + load(pipe, ROUGH_LAST, j)
        smooth = (load(pipe, LOSS, j) * size + LAMINAR_NUMBER * load(pipe, WALL, j) * (1.0 - share)) * root
        weight = root * (load(pipe, GUESS, j) + load(pipe, GUESS, j + lanes))
        drag = 2.0 * (smooth + share * rough) + load(pipe, EXTRA, j) * weight
        side = 2.0 * load(pipe, BRANCH, j) * (load(pipe, DRAWN, j) + load(pipe, DRAWN, j + lanes)) * root
        bottom = 1.0 / (weight + short * (2.0 * drag + side))
        push = (load(pipe, PUSH, j) - load(pipe, PUSH, j + lanes)) * load(pipe, SLIM, j)
        store(pipe, A, j, (late * weight + short * (drag * here + push * weight)) * bottom)
        store(pipe, B, j, short * load(pipe, PULL, j) * weight * bottom)
    for j in range(until - lanes, until):
        pipe[A, j], pipe[B, j] = 0.0, 0.0  # behind the last cell a valve decides


@bare
def cell_rows(pipe: Floats, until: int, lanes: int, now: Floats, before: Floats, over_short: Floats) -> None:
    """Diagonal and right side of each cell without its side devices."""
    for j in range(LEAD, until, WIDTH):
        holds = load(pipe, CAP, j) * over_short
        late = now * load(pipe, P, j) - before * load(pipe, P1, j)
        store(pipe, LOW, j, holds + load(pipe, B, j - lanes) + load(pipe, B, j))
        store(pipe, HIGH, j, holds * late + load(pipe, A, j - lanes) - load(pipe, A, j))


@bare
def furthest(pipe: Floats, until: int) -> Floats:
    """The greatest miss of the extrapolated pressures [Pa] at each of eight places; at least 1e300 if a pressure is none."""
    worst: Floats = eight(0.0)
    for j in range(LEAD, until, WIDTH):
        new = load(pipe, NEW, j)
        off = abs(new - load(pipe, GUESS, j))
        off = select((new > LOWEST_PA) & (new < HIGHEST_PA), off, 1e300)
        worst = select(off > worst, off, worst)
    return worst


@bare
def take_pipe(pipe: Floats, until: int, lanes: int, takes: Floats) -> None:
    """New pressures and flows in, the last ones kept, nothing drawn yet; only where a step is taken (above 0)."""
    taken = takes > 0.0
    for j in range(LEAD, until, WIDTH):
        p, new = load(pipe, P, j), load(pipe, NEW, j)
        flow = load(pipe, Q, j)
        through = load(pipe, A, j) + load(pipe, B, j) * (new - load(pipe, NEW, j + lanes))
        store(pipe, P1, j, select(taken, p, load(pipe, P1, j)))
        store(pipe, P, j, select(taken, new, p))
        store(pipe, Q1, j, select(taken, flow, load(pipe, Q1, j)))
        store(pipe, Q, j, select(taken, through, flow))
        store(pipe, DRAWN, j, select(taken, 0.0, load(pipe, DRAWN, j)))
