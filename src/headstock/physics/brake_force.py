"""Retarding force of one vehicle from the pressure in its brake cylinder: blocks by published friction laws, discs, data.

Force at the rail = push x share by speed. The push [N] holds all that depends on the pressure: cylinder force less the return
springs, and what a published law makes of the force of one block. The share by speed is a `SpeedLaw`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats
from headstock.physics.speed_law import KMH, SpeedBand, SpeedLaw

KARWATZKI_UP_TO_M_S = 120.0 * KMH
"""Speed that cast iron blocks are used to [m/s] (from memory)."""
KARWATZKI_BLOCK_N = 60_000.0
"""Force of one block answered for [N]: the checked table goes to 40 kN, presses to 60 (from memory)."""
KGF_N = 9.81
"""The kilogram force as the formula was written with [N]."""


@dataclass(frozen=True, slots=True)
class BlockLaw:
    """Friction by speed, and how it falls with the force F [N] of one block: (1 + less F) / (1 + more F).

    ``block_up_to_n`` is the greatest force of one block answered for.
    """

    by_speed: SpeedLaw
    less_per_n: float = 0.0
    more_per_n: float = 0.0
    block_up_to_n: float = float("inf")

    def friction(self, speed_m_s: float, block_n: float) -> float:
        """Friction [-] at a speed [m/s] with one block pressed by a force [N]. Raises OutsideModelError beyond the range."""
        if not 0.0 <= block_n <= self.block_up_to_n:
            raise OutsideModelError(
                f"{self.by_speed.name}: found a block force of {block_n / 1e3:g} kN, "
                f"answered for 0 to {self.block_up_to_n / 1e3:g} kN"
            )
        return self.by_speed.at(speed_m_s) * (1.0 + self.less_per_n * block_n) / (1.0 + self.more_per_n * block_n)


def karwatzki_law() -> BlockLaw:
    """Cast iron blocks.

    Equation: mu = 0.6 (16 F / 9.81 + 100) / (80 F / 9.81 + 100) (V + 100) / (5 V + 100), F [kN] of one block, V [km/h].
    Valid: 0 to 60 kN, 0 to 120 km/h. Source: Karwatzki, from memory.

    >>> law = karwatzki_law()
    >>> round(law.friction(0.0, 20e3), 4), round(law.friction(60 / 3.6, 20e3), 4)
    (0.3024, 0.121)
    """
    band = SpeedBand(0.0, 0.6, 0.6 * 3.6 / 100.0, 5.0 * 3.6 / 100.0)
    per_n = 1.0 / (100.0 * KGF_N * 1000.0)
    law = SpeedLaw("cast iron blocks (Karwatzki)", (band,), KARWATZKI_UP_TO_M_S)
    return BlockLaw(law, 16.0 * per_n, 80.0 * per_n, KARWATZKI_BLOCK_N)


@dataclass(frozen=True, slots=True)
class FrictionBrake:
    """What a cylinder's pressure gives: force [N] on all blocks or pads at ``full_pa`` [gauge], nothing up to ``starts_pa``.

    ``rim_share`` brings the force on pads to the wheel rim: radius of the pads over that of the wheel; 1 for blocks.
    """

    law: BlockLaw
    pressed_n: float
    full_pa: float
    starts_pa: float
    pieces: int
    rim_share: float = 1.0

    def pressed_at(self, cylinder_pa: Floats) -> Floats:
        """Force on all blocks [N] at cylinder pressures [Pa, gauge]: straight from ``starts_pa`` through ``full_pa``."""
        share = (cylinder_pa - self.starts_pa) / (self.full_pa - self.starts_pa)
        return self.pressed_n * np.maximum(share, 0.0)

    def push_n(self, cylinder_pa: Floats) -> Floats:
        """The push [N] at cylinder pressures [Pa, gauge]. Raises OutsideModelError where a block is pressed beyond its law."""
        pressed = self.pressed_at(cylinder_pa)
        block = pressed / self.pieces
        most = float(block.max(initial=0.0))
        self.law.friction(0.0, most)
        return pressed * self.rim_share * (1.0 + self.law.less_per_n * block) / (1.0 + self.law.more_per_n * block)

    def force_n(self, cylinder_pa: float, speed_m_s: float) -> float:
        """Force at the rail [N] at one pressure [Pa, gauge] and speed [m/s], adhesion not counted."""
        return float(self.push_n(np.array([cylinder_pa]))[0]) * self.law.by_speed.at(speed_m_s)
