"""Speeds, pressures and lengths as people say them here, rounded to the side on which nobody is misled."""

from __future__ import annotations

from math import ceil, floor
from typing import Literal

from headstock.base.quantities import ft_from_m, mph_from_mps, mps_from_kmh
from headstock.local_rules.limit_figures import PressureUnit, in_unit

SpeedUnit = Literal["km/h", "mph"]
A_HAIR = 1e-6
"""What a figure that is whole in the other unit may be off by [of its last decimal]."""


def speed_at_most(speed_kmh: float, unit: SpeedUnit) -> str:
    """A greatest speed [km/h]: as the rules write it in km/h, in mph rounded down to tenths."""
    if unit == "km/h":
        return f"{speed_kmh:g} km/h"
    return f"{floor(mph_from_mps(mps_from_kmh(speed_kmh)) * 10 + A_HAIR) / 10:g} mph"


def pressure_at_least(gauge_bar: float, unit: PressureUnit, decimals: int | None = None) -> str:
    """A pressure that must be reached [bar gauge]: rounded up to whole psi; in bar as it is, or up to so many decimals."""
    if unit == "bar" and decimals is None:
        return f"{gauge_bar:g} bar"
    tens = 10 ** (decimals or 0) if unit == "bar" else 1
    return f"{ceil(in_unit(gauge_bar, unit) * tens - A_HAIR) / tens:g} {unit}"


def pressure_left(gauge_bar: float, unit: PressureUnit) -> str:
    """A pressure that something falls to [bar gauge]: rounded down, to tenths of a bar or whole psi."""
    tens = 10 if unit == "bar" else 1
    return f"{floor(in_unit(gauge_bar, unit) * tens + A_HAIR) / tens:g} {unit}"


def length_at_least(length_m: float, unit: Literal["m", "ft"]) -> str:
    """A length that is needed, or that a train has [m]: rounded up to whole metres or feet."""
    return f"{ceil(_length(length_m, unit) - A_HAIR)} {unit}"


def length_there(length_m: float, unit: Literal["m", "ft"]) -> str:
    """A length that there is room for [m]: rounded down to whole metres or feet."""
    return f"{floor(_length(length_m, unit) + A_HAIR)} {unit}"


def _length(length_m: float, unit: Literal["m", "ft"]) -> float:
    return ft_from_m(length_m) if unit == "ft" else length_m
