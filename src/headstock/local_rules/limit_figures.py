"""Limits and readings of a brake test as people read them, alike on paper and in the terminal: figure, unit and words."""

from __future__ import annotations

from math import ceil, floor
from typing import Literal

from headstock.base.conversion import (
    bar_from_pa_difference,
    pa_difference_from_bar,
    pa_difference_from_psi,
    psi_from_pa_difference,
)
from headstock.local_rules.test_limits import Limit

PressureUnit = Literal["bar", "psi"]
DECIMALS: dict[PressureUnit, int] = {"bar": 2, "psi": 1}
"""Decimals of what a gauge shows."""
A_HAIR = 0.01
"""So much of the last decimal [-] is what a figure of whole psi written in bar with four decimals is off by."""
MORE_DECIMALS = 3
"""So many more where a figure would otherwise read as the other side of its limit."""


def in_unit(value_bar: float, unit: PressureUnit) -> float:
    """A gauge pressure or a difference [bar] in the unit people read (a gauge shows 0 where there is no difference)."""
    return value_bar if unit == "bar" else psi_from_pa_difference(pa_difference_from_bar(value_bar))


def bar_from(value: float, unit: PressureUnit) -> float:
    """A gauge pressure or a difference in the unit people read, in bar."""
    return value if unit == "bar" else bar_from_pa_difference(pa_difference_from_psi(value))


def is_at_most(limit: Limit) -> bool:
    """Whether a limit is an upper one."""
    return "at_least" not in limit


def is_rise(limit: Limit) -> bool:
    """Whether a limit is on how far the gauge rises during the stage, which is a difference and no gauge value."""
    return limit.startswith("rise")


def is_share(limit: Limit) -> bool:
    """Whether a limit is on a share of brakes counted [-], which has no pressure unit."""
    return "_share_" in limit


def is_pressure(limit: Limit) -> bool:
    """Whether a limit is a gauge pressure, or on a change of one."""
    return "_bar" in limit


def limit_said(value: float, limit: Limit, unit: PressureUnit) -> tuple[str, str]:
    """A limit of any kind (pressures [bar]) as its figure with the unit, and the words after it: "share 0.95", "or more"."""
    if is_pressure(limit):
        figure, tail = limit_words(value, limit, unit)
        return f"{figure}{' a minute' if 'per_min' in limit else ''}", tail
    if is_share(limit):
        return f"share {value:g}", limit_tail(limit)
    return f"{value:g} {unit_of(limit, unit)}", limit_tail(limit)


def unit_of(limit: Limit, unit: PressureUnit) -> str:
    """The unit in which people read what is held against a limit: that of pressures, "share", "l/min", "km/h"."""
    if is_pressure(limit):
        return unit
    return "share" if is_share(limit) else "l/min" if "l_per_min" in limit else "km/h"


def decimals_of_reading(limit: Limit, unit: PressureUnit) -> int:
    """Decimals of what is read beside a limit."""
    if is_pressure(limit):
        return DECIMALS[unit]
    return 2 if is_share(limit) else 0 if "l_per_min" in limit else 1


def is_within(value: float, limit_value: float, limit: Limit) -> bool:
    """Whether a reading is within its limit, both in one unit; at the limit it is."""
    return value <= limit_value if is_at_most(limit) else value >= limit_value


def limit_figure(limit_bar: float, limit: Limit, unit: PressureUnit) -> str:
    """The figure of a limit [bar]: as the rules write it in bar; in psi in tenths, never laxer than the rules."""
    if unit == "bar":
        return f"{limit_bar:g}"
    tenths = in_unit(limit_bar, unit) * 10 ** DECIMALS[unit]
    safe = floor(tenths + A_HAIR) if is_at_most(limit) else ceil(tenths - A_HAIR)
    return f"{safe / 10 ** DECIMALS[unit]:.{DECIMALS[unit]}f}"


def limit_read_bar(limit_bar: float, limit: Limit, unit: PressureUnit) -> float:
    """The limit [bar] as people read it, which is the one that decides: a reading that is printed as within it is within it."""
    if unit == "bar":
        return limit_bar
    return bar_from(float(limit_figure(limit_bar, limit, unit)), unit)


def limit_tail(limit: Limit) -> str:
    """The words after the figure of a limit."""
    return "or less" if is_at_most(limit) else "or more"


def limit_words(limit_bar: float, limit: Limit, unit: PressureUnit) -> tuple[str, str]:
    """A limit [bar] as its figure with the unit, and the words after it: "4.8 bar", "or more"."""
    return f"{limit_figure(limit_bar, limit, unit)} {unit}", limit_tail(limit)


def rounded(value: float, decimals: int) -> str:
    """A figure with so many decimals; a trace below nothing is 0."""
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def reading_figure(shows_bar: float, limit_bar: float, limit: Limit, unit: PressureUnit) -> str:
    """What the gauge shows [bar]; with more decimals where the usual ones would put it on the other side of its limit.

    Of what is no pressure the figure in the limit's own unit.
    """
    value, limit_value, within, text = shows_bar, limit_bar, is_within(shows_bar, limit_bar, limit), ""
    if is_pressure(limit):
        value, limit_value = in_unit(shows_bar, unit), in_unit(limit_bar, unit)
    usual = decimals_of_reading(limit, unit)
    for decimals in range(usual, usual + MORE_DECIMALS + 1):
        text = rounded(value, decimals)
        if is_within(float(text), limit_value, limit) == within:
            break
    return text
