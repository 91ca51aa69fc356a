"""Steady flow of air that keeps its temperature through a long pipe, and the pressure that leaks cost along it.

``resistance`` is f L / D [-] with Darcy's factor f, single losses added. Absolute, static pressures.
"""

from __future__ import annotations

from math import log, sqrt

from headstock.base.errors import OutsideModelError
from headstock.physics.gas import GAS_CONSTANT_J_KG_K

_ROUNDS = 100


def choking_pressure_pa(inlet_pa: float, resistance: float) -> float:
    """Lowest outlet pressure [Pa] of an isothermal pipe flow; a lower pressure beyond draws no more.

    (p1/p2)^2 - 1 - 2 ln(p1/p2) = f L/D, where the air moves as fast as its own waves; resistance from 0. Source: closed form.

    >>> round(choking_pressure_pa(601325.0, 68.75))
    69877
    """
    ratio = sqrt(resistance + 1.0) + 1.0
    for _ in range(_ROUNDS):
        ratio = sqrt(resistance + 1.0 + 2.0 * log(ratio))
    return inlet_pa / ratio


def pipe_flux_kg_m2_s(inlet_pa: float, outlet_pa: float, resistance: float, temperature_k: float) -> float:
    """Mass flux [kg/(m2 s)] through a pipe between two pressures [Pa] at one temperature [K], limited by choking.

    G^2 = (p1^2 - p2^2)/(R T (f L/D + 2 ln(p1/p2))). Raises OutsideModelError unless 0 < outlet <= inlet and the resistance is
    above 0. Adequate for a pipe as long as a train, not for short stubs. Source: closed form.

    >>> round(pipe_flux_kg_m2_s(601325.0, 551325.0, 68.75, 293.15) * 8.04248e-4, 6)
    0.080171
    """
    if not (0.0 < outlet_pa <= inlet_pa and resistance > 0.0):
        raise OutsideModelError(
            f"pipe flow: found {inlet_pa:g} to {outlet_pa:g} Pa and a resistance of {resistance:g}, "
            "expected 0 < outlet <= inlet and a resistance above 0"
        )
    last_pa = max(outlet_pa, choking_pressure_pa(inlet_pa, resistance))
    under = GAS_CONSTANT_J_KG_K * temperature_k * (resistance + 2.0 * log(inlet_pa / last_pa))
    return sqrt((inlet_pa**2 - last_pa**2) / under)


def leak_gradient_pa(inlet_pa: float, flux_kg_m2_s: float, resistance: float, temperature_k: float, share: float) -> float:
    """Fall of pressure [Pa] along a pipe whose whole inflow [kg/(m2 s), at the inlet] goes into leaks.

    p1^2 - p2^2 = share f L/D R T G^2; share 1 for one leak at the far end, see ``leak_share``. Inertia left out, leak
    flows not changing along the pipe: for falls of a few per cent. Raises OutsideModelError when nothing would be left.
    Source: closed form.

    >>> round(leak_gradient_pa(601325.0, 24.868, 150.0, 293.15, 1.0) / 100, 1)
    65.3
    """
    left = inlet_pa**2 - share * resistance * GAS_CONSTANT_J_KG_K * temperature_k * flux_kg_m2_s**2
    if left <= 0.0:
        raise OutsideModelError(f"leaks: {flux_kg_m2_s:g} kg/(m2 s) at the inlet is more than the pipe can bring to the far end")
    return inlet_pa - sqrt(left)


def leak_share(leaks: int) -> float:
    """Share [-] of the gradient that so many equal leaks at the ends of equal sections cost, against one at the far end.

    (n + 1)(2 n + 1)/(6 n^2): 1 for one, 1/3 for very many (spread evenly). Source: closed form.

    >>> leak_share(1), leak_share(8), round(leak_share(10**6), 4)
    (1.0, 0.3984375, 0.3333)
    """
    return (leaks + 1) * (2 * leaks + 1) / (6 * leaks**2)
