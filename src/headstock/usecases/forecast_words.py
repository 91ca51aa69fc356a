"""A forecast in the words and units that people read: figures with their unit, limits, what a fault is seen by."""

from __future__ import annotations

from headstock.brake_test.forecast import HEALTHY, ForecastCase, ForecastReading
from headstock.local_rules.limit_figures import is_share, limit_tail, limit_words, reading_figure
from headstock.local_rules.rules import LocalRules

FORECAST_CAUTIONS = (
    "The limits and the readings decide, the forecast never does.",
    "Computed for the train as described, with true gauges, at 15 °C, without leaks beyond those of its data; a real one "
    "differs. No bands yet.",
)
"""What stands over every forecast, the weightiest first."""


def reading_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """What the gauge will show, with its unit."""
    if is_share(reading.limit):
        return f"{reading.shows_bar:.2f} share"
    unit = rules.pressure_unit
    return f"{reading_figure(reading.shows_bar, reading.limit_bar, reading.limit, unit)} {unit}"


def limit_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """The limit as the rules give it: "4.8 bar or more"."""
    if is_share(reading.limit):
        return f"share {reading.limit_bar:g} {limit_tail(reading.limit)}"
    return " ".join(limit_words(reading.limit_bar, reading.limit, rules.pressure_unit))


def seen_in_words(case: ForecastCase) -> str:
    """By which readings of the test a case is seen, or that it is not."""
    outside = [reading.name for reading in case.readings if not reading.within]
    if outside:
        return f"not within limits at: {'; '.join(outside)}"
    within = "within limits at every reading"
    return within if case.name == HEALTHY else f"{within}: this test does not see it"
