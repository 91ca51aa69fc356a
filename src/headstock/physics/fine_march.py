"""Compiled time stepping of the fine solver: finite volumes of second order on cells of one pipe.

Cells carry density, momentum and (with heat transfer) total energy per volume. Here: the faces where the pipe meets
something else, the rates that follow, and two-stage Heun steps at a Courant number of 0.8.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import exp, sqrt

import numpy as np

from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fine_cells import coefficients, fluxes_isothermal, fluxes_with_energy, primitives, slopes
from headstock.physics.fine_faces import CP, GAMMA, R, branch_flows, settle_branch, settle_end, settle_gate

BRANCH, GATE, CUT = 1, 2, 3
ENDED, ROWS_FULL, BROKEN = 1, 2, 3
COURANT = 0.8
TOO_FAR, SHORTER, SHORTEST = 1.0, 0.25, 1e-3
"""A step after whose first stage waves would have run further than this many cells is taken again, shorter: when something
opens, the air still stands where the fastest wave of all will run. Shorter than this share of a step is given up."""


@kernel
def _beside(
    values: Floats, slope: Floats, face: int, before: bool, ambient_k: float, heat: bool
) -> tuple[float, float, float, float]:
    """Density, speed, pressure, temperature just before or behind a face."""
    i, sign = (face - 1, 0.5) if before else (face, -0.5)
    rho = values[0, i] + sign * slope[0, i]
    u = values[1, i] + sign * slope[1, i]
    p = values[2, i] + sign * slope[2, i] if heat else rho * R * ambient_k
    return rho, u, p, p / (R * rho) if heat else ambient_k


@kernel
def _branch_face(
    f: int, brake: int, row: int, values: Floats, slope: Floats, area: Floats, brakes: Floats, vessels: Floats, valves: Floats,
    flux: Floats, drawn: Floats, ambient_k: float, heat: bool, dt: float, tally: Floats,
) -> float:  # fmt: skip
    """Fluxes on both sides of a branch or of a change of bore; returns the common pressure."""
    rl, ul, pl, tl = _beside(values, slope, f, True, ambient_k, heat)
    rr, ur, pr, tr = _beside(values, slope, f, False, ambient_k, heat)
    step = GAMMA if heat else 1.0
    cl, cr = sqrt(step * R * tl), sqrt(step * R * tr)
    al, ar = area[f - 1], area[f]
    yielding = al / cl + ar / cr
    base = (al * (rl * ul + pl / cl) - ar * (rr * ur - pr / cr)) / yielding
    static = tl if ul + ur >= 0.0 else tr
    p = settle_branch(base, yielding, static, brakes[brake], vessels[0, brake], vessels[1, brake], valves[row], ambient_k, dt)
    chamber, reservoir, leak, out, fed = branch_flows(
        p, static, brakes[brake], vessels[0, brake], vessels[1, brake], valves[row], ambient_k, dt
    )
    drawn[0, brake] += 0.5 * chamber
    drawn[1, brake] += 0.5 * reservoir
    drawn[2, brake] += 0.5 * p
    tally[0] += 0.5 * dt * fed
    tally[1] += 0.5 * dt * (leak + out)
    ql = rl * ul - (p - pl) / cl
    net = chamber + reservoir + leak + out - fed
    qr = (al * ql - net) / ar
    flux[0, f], flux[3, f] = ql, qr
    flux[1, f], flux[4, f] = p + ql * ul, p + qr * ur
    if heat:  # what comes in mixes; all that goes out has the mixture's enthalpy
        from_left, from_right = max(al * ql, 0.0), max(-ar * qr, 0.0)
        warm = fed + max(-chamber, 0.0)  # at the ambient temperature
        comes = from_left + from_right + warm
        hl, hr = CP * tl + 0.5 * ul * ul, CP * tr + 0.5 * ur * ur
        mixed = (from_left * hl + from_right * hr + warm * CP * ambient_k) / comes if comes > 0.0 else hl
        flux[2, f] = ql * (hl if ql > 0.0 else mixed)
        flux[5, f] = qr * (hr if qr < 0.0 else mixed)
    return p


@kernel
def _cut_face(
    f: int, left_row: int, right_row: int, values: Floats, slope: Floats, area: Floats, valves: Floats, flux: Floats,
    ambient_k: float, heat: bool, dt: float, tally: Floats,
) -> float:  # fmt: skip
    """Fluxes where the pipe ends or is shut, each side with a wall, a valve or an opening; returns a face pressure."""
    n = values.shape[1]
    face_pa = 0.0
    if f > 0:
        rho, u, p, t = _beside(values, slope, f, True, ambient_k, heat)
        mass, momentum, energy, face_pa, fed = settle_end(rho, u, p, t, area[f - 1], valves[left_row], ambient_k, heat)
        flux[0, f], flux[1, f], flux[2, f] = mass / area[f - 1], momentum, energy / area[f - 1]
        tally[0] += 0.5 * dt * fed
        tally[1] += 0.5 * dt * (mass + fed)
    if f < n:
        rho, u, p, t = _beside(values, slope, f, False, ambient_k, heat)
        mass, momentum, energy, face_pa, fed = settle_end(rho, -u, p, t, area[f], valves[right_row], ambient_k, heat)
        flux[3, f], flux[4, f], flux[5, f] = -mass / area[f], momentum, -energy / area[f]
        tally[0] += 0.5 * dt * fed
        tally[1] += 0.5 * dt * (mass + fed)
    return face_pa


@kernel
def _gate_face(
    f: int, gate: float, values: Floats, slope: Floats, area: Floats, flux: Floats, ambient_k: float, heat: bool
) -> None:
    """Fluxes on both sides of a part-open gate; the higher wall pressure drives."""
    rl, ul, pl, tl = _beside(values, slope, f, True, ambient_k, heat)
    rr, ur, pr, tr = _beside(values, slope, f, False, ambient_k, heat)
    step = GAMMA if heat else 1.0
    forward = pl + rl * sqrt(step * R * tl) * ul >= pr - rr * sqrt(step * R * tr) * ur
    a = min(area[f - 1], area[f])
    if forward:
        mass, near, far, energy = settle_gate(rl, ul, pl, tl, rr, ur, pr, tr, a, gate, heat)
        flux[1, f], flux[4, f] = near, far
    else:
        mass, near, far, energy = settle_gate(rr, -ur, pr, tr, rl, -ul, pl, tl, a, gate, heat)
        mass, energy = -mass, -energy
        flux[1, f], flux[4, f] = far, near
    flux[0, f], flux[3, f] = mass / area[f - 1], mass / area[f]
    flux[2, f], flux[5, f] = energy / area[f - 1], energy / area[f]


@kernel
def rates(
    cells: Floats, values: Floats, slope: Floats, flux: Floats, rate: Floats, drag: Floats, warm: Floats, area: Floats,
    edges: Ints, faces: Ints, gate_area: Floats, brakes: Floats, vessels: Floats, valves: Floats, drawn: Floats, face_pa: Floats,
    tally: Floats, dx: float, ambient_k: float, heat: bool, dt: float,
) -> None:  # fmt: skip
    """Time derivatives of the cells, with what branches draw and what ends pass added to the tallies."""
    slopes(values, edges, slope, 3 if heat else 2)
    if heat:
        fluxes_with_energy(values, slope, flux)
    else:
        fluxes_isothermal(values, slope, flux, ambient_k)
    for k in range(faces.shape[0]):
        f, kind = faces[k, 0], faces[k, 1]
        if kind == BRANCH:
            face_pa[k] = _branch_face(f, faces[k, 2], faces[k, 3], values, slope, area, brakes, vessels, valves, flux, drawn,
                                      ambient_k, heat, dt, tally)  # fmt: skip
        elif kind == CUT:
            face_pa[k] = _cut_face(f, faces[k, 3], faces[k, 4], values, slope, area, valves, flux, ambient_k, heat, dt, tally)
        else:
            _gate_face(f, gate_area[k], values, slope, area, flux, ambient_k, heat)
    over = 1.0 / dx
    for i in range(drag.size):
        u = values[1, i]
        rate[0, i] = (flux[3, i] - flux[0, i + 1]) * over
        rate[1, i] = (flux[4, i] - flux[1, i + 1]) * over - drag[i] * values[0, i] * u * abs(u)
        if heat:
            rate[2, i] = (flux[5, i] - flux[2, i + 1]) * over + warm[i] * (ambient_k - values[3, i])


@kernel
def _emptied(table: Floats) -> None:
    # Spelled out: assigning to a slice brings seconds of compiling for its error messages.
    for k in range(table.shape[0]):
        for i in range(table.shape[1]):
            table[k, i] = 0.0


@kernel
def _vessels_between(brakes: Floats, vessels: Floats, held: Floats, drawn: Floats, ambient_k: float, dt: float) -> None:
    """Chambers and reservoirs as they would be after the first stage alone (``drawn`` holds half its flows so far)."""
    warm = 2.0 * R * ambient_k * dt
    for b in range(brakes.shape[0] - 1):
        held[0, b] = vessels[0, b]
        held[1, b] = vessels[1, b]
        if brakes[b, 0] > 0.0:
            held[0, b] += drawn[0, b] * warm / brakes[b, 0]
        if brakes[b, 4] > 0.0 and brakes[b, 2] > 0.0:
            held[1, b] += drawn[1, b] * warm / brakes[b, 2]


@kernel
def _vessels_step(
    brakes: Floats, vessels: Floats, drawn: Floats, ambient_k: float, outside_pa: float, dt: float, tally: Floats
) -> None:
    """Chambers, reservoirs and cylinders over one step; ``drawn`` holds mean flows [kg/s] and the mean branch pressure."""
    warm = R * ambient_k * dt
    for b in range(brakes.shape[0] - 1):
        row = brakes[b]
        if row[4] > 0.0 and row[2] > 0.0:
            vessels[1, b] += drawn[1, b] * warm / row[2]
        if row[0] <= 0.0:  # no control chamber: nothing works the cylinder
            continue
        vessels[0, b] += drawn[0, b] * warm / row[0]
        target = min(row[7] * (vessels[0, b] - drawn[2, b]), row[8], vessels[1, b] - outside_pa)
        target = max(target, 0.0)
        before = vessels[2, b]
        slow = row[9] if target > before else row[10]
        vessels[2, b] = target + (before - target) * exp(-dt / slow)
        rise = vessels[2, b] - before
        if row[4] > 0.0 and row[2] > 0.0 and rise > 0.0:
            vessels[1, b] -= rise * row[6] / row[2]
            tally[2] += rise * row[6] / (R * ambient_k)


@kernel
def _sample(probes: Ints, cells_pa: Floats, face_pa: Floats, vessels: Floats, outside_pa: float, row: Floats) -> None:
    """One row of readings [Pa, absolute]."""
    for k in range(probes.shape[0]):
        kind, number = probes[k, 0], probes[k, 1]
        if kind == 0:
            row[k] = cells_pa[number]
        elif kind == 1:
            row[k] = face_pa[number]
        else:
            row[k] = vessels[kind - 2, number] + (outside_pa if kind == 4 else 0.0)


@kernel
def _landing(longest_s: float, left_s: float) -> float:
    """A step that leads to the end without a tiny last one [s]."""
    if longest_s >= left_s:
        return left_s
    return 0.5 * left_s if 2.0 * longest_s > left_s else longest_s


@kernel
def march(
    cells: Floats, vessels: Floats, face_pa: Floats, tally: Floats, clock: Floats, until_s: float, dx: float, bore: Floats,
    area: Floats, wall_term: Floats, loss: Floats, edges: Ints, faces: Ints, gate_area: Floats, brakes: Floats, valves: Floats,
    probes: Ints, sample_s: float, times: Floats, readings: Floats, ambient_k: float, heat: bool,
) -> tuple[int, int]:  # fmt: skip
    """Steps from ``clock[0]`` until a time [s]; returns why it stopped and how many rows of readings it wrote.

    ``cells`` (3, n), ``vessels`` (3, brakes), ``face_pa`` and ``tally`` (fed, let out, to cylinders [kg], steps) are
    changed in place; ``clock`` holds the time and that of the next sample.
    """
    n, rows = cells.shape[1], 3 if heat else 2
    values, slope, flux = np.zeros((4, n)), np.zeros((3, n)), np.zeros((6, n + 1))
    rate, drag, warm = np.zeros((3, n)), np.zeros(n), np.zeros(n)
    second, between = np.zeros((3, n)), np.zeros((3, n))
    drawn, held = np.zeros((3, brakes.shape[0])), np.zeros((3, brakes.shape[0]))
    written = 0
    share, outside_pa = 1.0, valves[0, 6]
    fastest = primitives(cells, values, ambient_k, heat)
    if fastest < 0.0:
        return BROKEN, written
    while clock[0] < until_s:
        left = until_s - clock[0]
        dt = _landing(share * COURANT * dx / fastest, left)
        last = dt >= left
        fed, let_out = tally[0], tally[1]
        coefficients(values, bore, wall_term, loss, drag, warm, heat)
        _emptied(drawn)
        rates(cells, values, slope, flux, rate, drag, warm, area, edges, faces, gate_area, brakes, vessels, valves, drawn,
              face_pa, tally, dx, ambient_k, heat, dt)  # fmt: skip
        for k in range(rows):
            for i in range(n):
                between[k, i] = cells[k, i] + dt * rate[k, i]
        _vessels_between(brakes, vessels, held, drawn, ambient_k, dt)
        faster = primitives(between, values, ambient_k, heat)
        if faster < 0.0 or faster * dt > TOO_FAR * dx:
            share *= SHORTER
            if share < SHORTEST:
                return BROKEN, written
            tally[0], tally[1] = fed, let_out
            primitives(cells, values, ambient_k, heat)
            continue
        share = min(1.0, 2.0 * share)
        rates(between, values, slope, flux, second, drag, warm, area, edges, faces, gate_area, brakes, held, valves, drawn,
              face_pa, tally, dx, ambient_k, heat, dt)  # fmt: skip
        for k in range(rows):
            for i in range(n):
                cells[k, i] += 0.5 * dt * (rate[k, i] + second[k, i])
        _vessels_step(brakes, vessels, drawn, ambient_k, outside_pa, dt, tally)
        clock[0] = until_s if last else clock[0] + dt
        tally[3] += 1.0
        fastest = primitives(cells, values, ambient_k, heat)
        if fastest < 0.0:
            return BROKEN, written
        if last or clock[0] >= clock[1]:
            times[written] = clock[0]
            _sample(probes, values[2], face_pa, vessels, outside_pa, readings[written])
            written += 1
            clock[1] = max(clock[1] + sample_s, clock[0])
            if written == times.size and clock[0] < until_s:
                return ROWS_FULL, written
    return ENDED, written
