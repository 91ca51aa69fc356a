"""Two portions meet: as two rigid lumps by closed forms, as endless chains, and as chains of vehicles by integration.

The lump is the most and the endless chain the least; real portions lie between.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.draft_gear import DraftGear, columns_of
from headstock.physics.impact_march import march_chain
from headstock.physics.speed_law import KMH

MOST_SPEED_M_S = 15.0 * KMH
"""Approach speeds answered for [m/s]: beyond them bodies bend (common practice, no source)."""
STEPS_A_TURN = 400.0
"""Steps in one swing of the stiffest coupling with the lightest vehicle."""


def reduced_mass_kg(first_kg: float, second_kg: float) -> float:
    """m1 m2 / (m1 + m2) [kg]. Raises OutsideModelError unless both are above 0.

    >>> reduced_mass_kg(200e3, 200e3)
    100000.0
    """
    if not (first_kg > 0.0 and second_kg > 0.0 and math.isfinite(first_kg + second_kg)):
        raise OutsideModelError(f"mass: found {first_kg:g} and {second_kg:g} kg, expected both above 0")
    return first_kg * second_kg / (first_kg + second_kg)


def impact_energy_j(first_kg: float, second_kg: float, speed_m_s: float) -> float:
    """What the couplings must take in when two lumps meet: m_e v^2 / 2 [J]; also lost when they stay together.

    >>> round(impact_energy_j(200e3, 200e3, 3 / 3.6) / 1e3, 2)
    34.72
    """
    return 0.5 * reduced_mass_kg(first_kg, second_kg) * _speed(speed_m_s) ** 2


def speed_of_energy_m_s(first_kg: float, second_kg: float, energy_j: float) -> float:
    """`impact_energy_j` solved for the speed [m/s]."""
    return math.sqrt(2.0 * energy_j / reduced_mass_kg(first_kg, second_kg))


def lump_impact(first_kg: float, second_kg: float, speed_m_s: float, gear: DraftGear) -> tuple[float, float]:
    """Peak force [N] and stroke [m] of two rigid lumps on one gear. Source: statics (energy).

    >>> from headstock.physics.draft_gear import linear_gear
    >>> force, stroke = lump_impact(200e3, 200e3, 3 / 3.6, linear_gear(20e6, 0.2))
    >>> round(force / 1e3), round(stroke * 1e3, 1)
    (1179, 58.9)
    """
    stroke = gear.stroke_for(impact_energy_j(first_kg, second_kg, speed_m_s))
    return gear.force_at(stroke), stroke


def lump_speed_m_s(first_kg: float, second_kg: float, force_n: float, gear: DraftGear) -> float:
    """`lump_impact` solved for the speed [m/s] at which a peak force [N] is reached."""
    return speed_of_energy_m_s(first_kg, second_kg, gear.energy_at(gear.stroke_at(force_n)))


def contact_s(first_kg: float, second_kg: float, stiffness_n_per_m: float) -> float:
    """How long two lumps on a line F = k x stay in touch: pi sqrt(m_e / k) [s].

    >>> round(contact_s(200e3, 200e3, 20e6), 4)
    0.2221
    """
    return math.pi * math.sqrt(reduced_mass_kg(first_kg, second_kg) / stiffness_n_per_m)


def common_speed_m_s(first_kg: float, second_kg: float, speed_m_s: float) -> float:
    """Speed of both once joined, the first having come at ``speed_m_s`` [m/s]."""
    return first_kg * speed_m_s / (first_kg + second_kg)


def endless_chain_force_n(speed_m_s: float, stiffness_n_per_m: float, vehicle_kg: float) -> float:
    """Force [N] between two endless like chains: F = (v / 2) sqrt(k m). Source: wave in a chain, closed form.

    >>> round(endless_chain_force_n(3 / 3.6, 20e6, 45e3) / 1e3, 1)
    395.3
    """
    return 0.5 * _speed(speed_m_s) * math.sqrt(stiffness_n_per_m * vehicle_kg)


@dataclass(frozen=True, slots=True)
class ChainImpact:
    """Greatest push [N] in every coupling in order, the one that is hit among them; greatest pull [N]; stroke there [m]."""

    hit: int
    push_n: tuple[float, ...]
    pull_n: tuple[float, ...]
    stroke_m: float

    @property
    def peak_n(self) -> float:
        """Push at the coupling that is hit [N]."""
        return self.push_n[self.hit]


def chain_impact(
    first_kg: Sequence[float], second_kg: Sequence[float], speed_m_s: float, inner_first: Sequence[DraftGear],
    hit: DraftGear, inner_second: Sequence[DraftGear], until_s: float | None = None,
) -> ChainImpact:  # fmt: skip
    """Two chains of vehicles [kg], listed in order along the track; the first comes at a speed [m/s], the second stands free.

    ``inner_first`` and ``inner_second`` are the couplings within each, push and pull alike; the one that is hit takes push alone.
    A standing portion whose brakes are on takes a little more. Raises OutsideModelError beyond 15 km/h.
    """
    masses = np.array([*first_kg, *second_kg], dtype=np.float64)
    gears = [*inner_first, hit, *inner_second]
    if len(gears) != masses.size - 1 or not (masses > 0.0).all():
        raise OutsideModelError(f"chain: found {len(gears)} couplings for {masses.size} vehicles, expected one between each two")
    table = columns_of(gears)
    returns = np.array([gear.returns for gear in gears])
    within = 1.02 * _speed(speed_m_s) * math.sqrt(masses.max() * _steepest(gears))
    stiffest = max(_steepest_below(gear, within) for gear in gears)
    step_s = 2.0 * math.pi * math.sqrt(masses.min() / 2.0 / stiffest) / STEPS_A_TURN
    softest = min(gear.force_n[-1] / gear.full_stroke_m for gear in gears)
    last_s = until_s or 2.0 * math.pi * math.sqrt(masses.max() / softest) * (1.0 + masses.size / 4.0)
    speeds = np.where(np.arange(masses.size) < len(first_kg), _speed(speed_m_s), 0.0)
    push, pull, stroke = march_chain(masses, speeds, table, returns, len(first_kg) - 1, step_s, int(last_s / step_s) + 1)
    return ChainImpact(len(first_kg) - 1, tuple(push.tolist()), tuple(pull.tolist()), float(stroke))


def _steepest(gears: Sequence[DraftGear]) -> float:
    return max(gear.force_n[-1] / gear.full_stroke_m for gear in gears)


def _steepest_below(gear: DraftGear, force_n: float) -> float:
    """Greatest stiffness of a gear up to a force [N/m]; the jump of a preload left out, it only rattles."""
    points = pairwise(zip(gear.stroke_m, gear.force_n, strict=True))
    steep = [(g - f) / (y - x) for (x, f), (y, g) in points if f < force_n and y - x > 2e-5]
    return max([*steep, gear.solid_n_per_m] if gear.force_n[-1] < force_n else steep)


def _speed(speed_m_s: float) -> float:
    if not 0.0 <= speed_m_s <= MOST_SPEED_M_S:
        raise OutsideModelError(
            f"approach speed: found {speed_m_s / KMH:g} km/h, answered for 0 to {MOST_SPEED_M_S / KMH:g} km/h"
        )
    return speed_m_s
