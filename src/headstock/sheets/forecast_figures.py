"""Figures of a forecast as they are printed, beside the mark of the gauge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from headstock.local_rules.limit_figures import DECIMALS, PressureUnit, in_unit, is_pressure, reading_figure
from headstock.local_rules.method_stage import CHANGES

if TYPE_CHECKING:
    from headstock.brake_test.forecast import ForecastReading

MINUS = "\u2212"


@dataclass(frozen=True, slots=True)
class GaugeSeen:
    """A cab's brake pipe gauge: where, its lowest mark and the step between marks [bar] (0: not known)."""

    cab: str = ""
    low_bar: float = 0.0
    graduation_bar: float = 0.0


NOT_KNOWN = GaugeSeen()


def plain(value: float, decimals: int) -> str:
    """As many decimals as it has, at most so many; a trace below nothing is 0."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text in ("", "-0") else text


def decimals_of(step: float, most: int) -> int:
    """Decimals that tell the marks of a gauge apart."""
    return len(plain(step, most).partition(".")[2])


def figure_text(reading: ForecastReading, unit: PressureUnit) -> str:
    """What the gauge shows, with a minus sign as it is printed; of a count the share."""
    return reading_figure(reading.shows_bar, reading.limit_bar, reading.limit, unit).replace("-", MINUS)


def nearest_mark(reading: ForecastReading, unit: PressureUnit, gauge: GaugeSeen) -> str:
    """The mark of the gauge that the pointer is nearest to; "" for what is no standing pressure, or a gauge not known."""
    if gauge.graduation_bar <= 0.0 or not is_pressure(reading.limit) or reading.limit in CHANGES:
        return ""
    steps = max(0, round((reading.shows_bar - gauge.low_bar) / gauge.graduation_bar))
    mark = in_unit(gauge.low_bar + steps * gauge.graduation_bar, unit)
    return f"{mark:.{decimals_of(in_unit(gauge.graduation_bar, unit), DECIMALS[unit])}f}"


def is_close_call(reading: ForecastReading, gauge: GaugeSeen) -> bool:
    """Whether a reading lies outside its limit by less than half the step between two marks."""
    return (
        not reading.within
        and is_pressure(reading.limit)
        and abs(reading.shows_bar - reading.limit_bar) < gauge.graduation_bar / 2
    )
