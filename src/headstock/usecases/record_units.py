"""Figures of a record in the units that are judged: bar (gauge), litres of free air a minute, brakes, km/h."""

from __future__ import annotations

from typing import Final

from headstock.base.conversion import kmh_from_mps, mps_from_mph
from headstock.brake_test.impossible import BAR_OF
from headstock.local_rules.method_stage import Reads

LITRES_A_MINUTE_OF: Final = {"l/min": 1.0, "l/s": 60.0, "cfm": 0.3048**3 * 1000.0}
"""A cubic foot is (0.3048 m)^3 by definition."""
UNITS_OF: Final[dict[Reads, tuple[str, ...]]] = {
    "brake pipe": tuple(BAR_OF), "brake cylinder": tuple(BAR_OF), "flow": tuple(LITRES_A_MINUTE_OF),
    "brakes applied": ("brakes",), "brakes released": ("brakes",), "speed": ("km/h", "mph"), "lamp": (), "bell": (),
}  # fmt: skip


def in_own_unit(figure: float, unit: str) -> float:
    """A figure as it is judged."""
    if unit == "mph":
        return kmh_from_mps(mps_from_mph(figure))
    return figure * (BAR_OF | LITRES_A_MINUTE_OF).get(unit, 1.0)
