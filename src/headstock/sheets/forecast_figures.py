"""Figures of a forecast as people read them: in their unit, beside the mark of the gauge, never rounded across a limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from headstock.base.conversion import pa_difference_from_bar, psi_from_pa_difference

if TYPE_CHECKING:
    from headstock.brake_test.forecast import ForecastReading

Unit = Literal["bar", "psi"]
DECIMALS: dict[Unit, int] = {"bar": 2, "psi": 1}
MINUS = "\u2212"
MORE_DECIMALS = 3
"""So many more where a figure would otherwise read as the other side of its limit."""


@dataclass(frozen=True, slots=True)
class GaugeSeen:
    """A cab's brake pipe gauge: where, its lowest mark and the step between marks [bar] (0: not known)."""

    cab: str = ""
    low_bar: float = 0.0
    graduation_bar: float = 0.0


NOT_KNOWN = GaugeSeen()


def in_unit(value_bar: float, unit: Unit) -> float:
    """A gauge pressure or a difference [bar] in the unit people read (a gauge shows 0 where there is no difference)."""
    return value_bar if unit == "bar" else psi_from_pa_difference(pa_difference_from_bar(value_bar))


def plain(value: float, decimals: int) -> str:
    """As many decimals as it has, at most so many; a trace below nothing is 0."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text in ("", "-0") else text


def decimals_of(step: float, most: int) -> int:
    """Decimals that tell the marks of a gauge apart."""
    return len(plain(step, most).partition(".")[2])


def is_at_most(reading: ForecastReading) -> bool:
    """Whether the limit is an upper one."""
    return "at_least" not in reading.limit


def is_rise(reading: ForecastReading) -> bool:
    """Whether the limit is on how far the gauge rises during the stage."""
    return reading.limit.startswith("rise")


def limit_figure(reading: ForecastReading, unit: Unit) -> str:
    """The figure of a limit: as the rules write it in bar, with one decimal in psi."""
    return f"{reading.limit_bar:g}" if unit == "bar" else f"{in_unit(reading.limit_bar, unit):.1f}"


def limit_tail(reading: ForecastReading) -> str:
    """The words after the figure of a limit."""
    return "or less" if is_at_most(reading) else "or more"


def figure_text(reading: ForecastReading, unit: Unit) -> str:
    """What the gauge shows; with more decimals where the usual ones would put it on the other side of its limit."""
    value, limit = in_unit(reading.shows_bar, unit), in_unit(reading.limit_bar, unit)
    text = ""
    for decimals in range(DECIMALS[unit], DECIMALS[unit] + MORE_DECIMALS + 1):
        text = f"{value:.{decimals}f}"
        reads_within = float(text) <= limit if is_at_most(reading) else float(text) >= limit
        if reads_within == reading.within:
            break
    return text.removeprefix("-") if float(text) == 0.0 else text.replace("-", MINUS)


def nearest_mark(reading: ForecastReading, unit: Unit, gauge: GaugeSeen) -> str:
    """The mark of the gauge that the pointer is nearest to; "" for a rise and for a gauge that is not known."""
    if gauge.graduation_bar <= 0.0 or is_rise(reading):
        return ""
    steps = max(0, round((reading.shows_bar - gauge.low_bar) / gauge.graduation_bar))
    mark = in_unit(gauge.low_bar + steps * gauge.graduation_bar, unit)
    return f"{mark:.{decimals_of(in_unit(gauge.graduation_bar, unit), DECIMALS[unit])}f}"


def is_close_call(reading: ForecastReading, gauge: GaugeSeen) -> bool:
    """Whether a reading lies outside its limit by less than half the step between two marks."""
    return not reading.within and abs(reading.shows_bar - reading.limit_bar) < gauge.graduation_bar / 2
