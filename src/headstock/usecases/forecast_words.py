"""A forecast in the words and units that people read: figures with their unit, limits, what a fault is seen by."""

from __future__ import annotations

from headstock.base.conversion import pa_difference_from_bar, pa_from_gauge_bar, psi_from_pa_difference
from headstock.base.quantities import spoken_pressure
from headstock.brake_test.forecast import HEALTHY, ForecastCase, ForecastReading
from headstock.local_rules.rules import LocalRules

FORECAST_NOTE = (
    "A forecast for a train without leaks beyond those of its data, with true gauges, at 15 °C. "
    "The limits and the readings decide, the forecast never does."
)


def reading_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """What the gauge will show, with its unit."""
    return _spoken(reading, reading.shows_bar, rules, 2)


def limit_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """The limit as the rules give it: "4.8 bar or more"."""
    side = "or more" if "at_least" in reading.limit else "or less"
    return f"{_spoken(reading, reading.limit_bar, rules, None)} {side}"


def _spoken(reading: ForecastReading, value_bar: float, rules: LocalRules, decimals: int | None) -> str:
    if rules.pressure_unit == "bar":
        return f"{value_bar:g} bar" if decimals is None else f"{value_bar + 0.0:.{decimals}f} bar".replace("-0.00", "0.00")
    if reading.limit.startswith("rise"):
        return f"{psi_from_pa_difference(pa_difference_from_bar(value_bar)):.1f} psi"
    return spoken_pressure(pa_from_gauge_bar(value_bar), "psi")


def seen_in_words(case: ForecastCase) -> str:
    """By which readings of the test a case is seen, or that it is not."""
    outside = [reading.name for reading in case.readings if not reading.within]
    if outside:
        return f"not within limits at: {'; '.join(outside)}"
    within = "within limits at every reading"
    return within if case.name == HEALTHY else f"{within}: this test does not see it"
