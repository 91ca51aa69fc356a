"""Compiled work on the cells of the fine solver: states, slopes and the fluxes between neighbours.

Slopes: van Leer inside, a one-sided minmod beside every face that must not be differenced across. Fluxes: HLL isothermal,
HLLC with energy. Friction factor and heat transfer are worked out once a step.
Figures in SI units [kg, m, s, Pa, K]; ratios and shares without one.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from math import sqrt

from headstock.physics import friction, gas
from headstock.physics._compile import kernel
from headstock.physics.arrays import Floats, Ints
from headstock.physics.fine_faces import GAMMA, R

CV = R / (GAMMA - 1.0)
PRANDTL = 0.71
NUSSELT_LAMINAR = 3.66
SLOWEST_REYNOLDS = 64.0
"""Below it the friction factor is held at 1: about 4 mm/s in a charged brake pipe."""

_darcy = kernel(friction.darcy_factor_of_term)
_viscosity = kernel(gas.viscosity_pa_s)
_conductivity = kernel(gas.conductivity_w_m_k)


@kernel
def _nusselt(reynolds: float) -> float:
    """Heat transfer number of a pipe [-]: laminar, turbulent, a straight line between. Source: from memory (Dittus-Boelter)."""
    if reynolds <= friction.LAMINAR_UP_TO:
        return NUSSELT_LAMINAR
    turbulent: float = 0.023 * max(reynolds, friction.TURBULENT_FROM) ** 0.8 * PRANDTL**0.4
    if reynolds >= friction.TURBULENT_FROM:
        return turbulent
    share = (reynolds - friction.LAMINAR_UP_TO) / (friction.TURBULENT_FROM - friction.LAMINAR_UP_TO)
    return (1.0 - share) * NUSSELT_LAMINAR + share * turbulent


@kernel
def primitives(cells: Floats, values: Floats, ambient_k: float, heat: bool) -> float:
    """Density, speed, pressure, temperature of every cell; returns the fastest signal [m/s], negative if a cell is no gas."""
    fastest = 0.0
    sound = sqrt(R * ambient_k)
    good = True
    for i in range(cells.shape[1]):
        rho = cells[0, i]
        u = cells[1, i] / rho
        t = ambient_k
        if heat:
            t = (cells[2, i] / rho - 0.5 * u * u) / CV
            sound = sqrt(GAMMA * R * t)
        p = rho * R * t
        values[0, i] = rho
        values[1, i] = u
        values[2, i] = p
        values[3, i] = t
        good = good and 1.0 < p < 1e8 and 5.0 < t < 5000.0
        fastest = max(fastest, abs(u) + sound)
    return fastest if good and fastest < 1e5 else -1.0


@kernel
def coefficients(values: Floats, bore: Floats, wall_term: Floats, loss: Floats, drag: Floats, warm: Floats, heat: bool) -> None:
    """Per cell: drag = (f/d + losses per metre)/2 [1/m], and with heat 4 h/d [W/(m3 K)]."""
    mu = _viscosity(values[3, 0])
    for i in range(bore.size):
        if heat:
            mu = _viscosity(values[3, i])
        reynolds = abs(values[1, i]) * values[0, i] * bore[i] / mu
        # At rest 64/Re has no value, and the factor is kept for a whole step in which the gas may start: hence a floor.
        drag[i] = 0.5 * (_darcy(max(reynolds, SLOWEST_REYNOLDS), wall_term[i]) / bore[i] + loss[i])
        if heat:
            warm[i] = 4.0 * _nusselt(reynolds) * _conductivity(values[3, i]) / (bore[i] * bore[i])


@kernel
def _van_leer(a: float, b: float) -> float:
    return 2.0 * a * b / (a + b) if a * b > 0.0 else 0.0


@kernel
def _minmod(a: float, b: float) -> float:
    if a * b <= 0.0:
        return 0.0
    return a if abs(a) < abs(b) else b


@kernel
def slopes(values: Floats, edges: Ints, slope: Floats, rows: int) -> None:
    """Slopes per cell of density, speed (and pressure); ``edges`` lists cells beside blocked faces and which way to look."""
    n = values.shape[1]
    for k in range(rows):
        v = values[k]
        s = slope[k]
        for i in range(1, n - 1):
            s[i] = _van_leer(v[i] - v[i - 1], v[i + 1] - v[i])
        for j in range(edges.shape[0]):
            i, way = edges[j, 0], edges[j, 1]
            s[i] = 0.0
            if way != 0:
                s[i] = way * _minmod(v[i + way] - v[i], v[i + 2 * way] - v[i + way])


@kernel
def fluxes_isothermal(values: Floats, slope: Floats, flux: Floats, ambient_k: float) -> None:
    """HLL fluxes of mass and momentum at every inner face, the same seen from either side."""
    square = R * ambient_k
    c = sqrt(square)
    rho, u = values[0], values[1]
    for f in range(1, rho.size):
        rl = rho[f - 1] + 0.5 * slope[0, f - 1]
        ul = u[f - 1] + 0.5 * slope[1, f - 1]
        rr = rho[f] - 0.5 * slope[0, f]
        ur = u[f] - 0.5 * slope[1, f]
        ml, mr = rl * ul, rr * ur
        pl, pr = ml * ul + rl * square, mr * ur + rr * square
        sl, sr = min(min(ul, ur) - c, 0.0), max(max(ul, ur) + c, 0.0)
        over = 1.0 / (sr - sl)
        mass = (sr * ml - sl * mr + sl * sr * (rr - rl)) * over
        momentum = (sr * pl - sl * pr + sl * sr * (mr - ml)) * over
        flux[0, f] = mass
        flux[1, f] = momentum
        flux[3, f] = mass
        flux[4, f] = momentum


@kernel
def _hllc(rl: float, ul: float, pl: float, rr: float, ur: float, pr: float) -> tuple[float, float, float]:
    el = pl / (GAMMA - 1.0) + 0.5 * rl * ul * ul
    er = pr / (GAMMA - 1.0) + 0.5 * rr * ur * ur
    cl, cr = sqrt(GAMMA * pl / rl), sqrt(GAMMA * pr / rr)
    sl, sr = min(ul - cl, ur - cr), max(ul + cl, ur + cr)
    if sl >= 0.0:
        return rl * ul, rl * ul * ul + pl, ul * (el + pl)
    if sr <= 0.0:
        return rr * ur, rr * ur * ur + pr, ur * (er + pr)
    sm = (pr - pl + rl * ul * (sl - ul) - rr * ur * (sr - ur)) / (rl * (sl - ul) - rr * (sr - ur))
    if sm >= 0.0:
        dense = rl * (sl - ul) / (sl - sm)
        inner = dense * (el / rl + (sm - ul) * (sm + pl / (rl * (sl - ul))))
        m, mu, e = rl * ul, rl * ul * ul + pl, ul * (el + pl)
        return m + sl * (dense - rl), mu + sl * (dense * sm - m), e + sl * (inner - el)
    dense = rr * (sr - ur) / (sr - sm)
    inner = dense * (er / rr + (sm - ur) * (sm + pr / (rr * (sr - ur))))
    m, mu, e = rr * ur, rr * ur * ur + pr, ur * (er + pr)
    return m + sr * (dense - rr), mu + sr * (dense * sm - m), e + sr * (inner - er)


@kernel
def fluxes_with_energy(values: Floats, slope: Floats, flux: Floats) -> None:
    """HLLC fluxes of mass, momentum and energy at every inner face, the same seen from either side."""
    for f in range(1, values.shape[1]):
        mass, momentum, energy = _hllc(
            values[0, f - 1] + 0.5 * slope[0, f - 1], values[1, f - 1] + 0.5 * slope[1, f - 1],
            values[2, f - 1] + 0.5 * slope[2, f - 1],
            values[0, f] - 0.5 * slope[0, f], values[1, f] - 0.5 * slope[1, f], values[2, f] - 0.5 * slope[2, f],
        )  # fmt: skip
        flux[0, f] = mass
        flux[1, f] = momentum
        flux[2, f] = energy
        flux[3, f] = mass
        flux[4, f] = momentum
        flux[5, f] = energy
