"""A forecast in the words and units that people read: figures with their unit, limits, what a fault is seen by."""

from __future__ import annotations

from headstock.brake_test.forecast import HEALTHY, Forecast, ForecastCase, ForecastReading
from headstock.brake_test.forecast_band import ReadingBand, StageBand
from headstock.brake_test.gauge_error import GaugeTaken
from headstock.local_rules.limit_figures import (
    PressureUnit,
    decimals_of_reading,
    in_unit,
    is_pressure,
    limit_said,
    reading_figure,
    rounded,
    unit_of,
)
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_limits import Limit

FORECAST_CAUTIONS = (
    "The limits and the readings decide, the forecast never does.",
    "Computed for the train as described, with true gauges, at 15 °C, without leaks beyond those of its data; a real one "
    "differs.",
)
"""What stands over every forecast, the weightiest first."""


OF_LIMITS: dict[Limit, str] = {
    "flow_at_most_l_per_min": "A flow is what the leading valve lets in at that moment, as free air; a meter that lags behind "
    "shows more.",
    "speed_fall_at_least_kmh": "The speed is reckoned on the level, by this brake alone, as loaded in the job, from that of the "
    "local rules' running test, without resistance.",
}
"""What stands there besides where a reading has such a limit."""


def forecast_cautions(forecast: Forecast) -> tuple[str, ...]:
    """What stands over a forecast, the weightiest first; of a band, from what it is drawn."""
    band = forecast.band
    limits = dict.fromkeys(reading.limit for reading in forecast.cases[0].readings)
    cautions = (*FORECAST_CAUTIONS, *(OF_LIMITS[limit] for limit in limits if limit in OF_LIMITS))
    if band is None:
        return cautions
    invented = ", invented" if band.is_invented else ""
    return (*cautions,
            f"Band: the middle 95 per cent of {band.members} healthy trains, as gauges of their class show them, to whole marks "
            f"and seconds. "
            f"Ranges: {band.drawn_from}, edition {band.edition}{invented}.",
            *map(gauge_taken_words, band.gauges_taken))  # fmt: skip


def gauge_taken_words(taken: GaugeTaken) -> str:
    """That an end has no gauge in the unit data, and which one is taken."""
    return (
        f"No brake pipe gauge is described at the {taken.at} ({taken.end}): one of class {taken.class_percent:g} with marks of "
        f"{taken.mark_bar:g} bar is taken."
    )


def band_in_words(band: ReadingBand, unit: PressureUnit) -> str:
    """From and to, without the unit: of brakes counted as shares."""
    ends = [in_unit(value, unit) if is_pressure(band.limit) else value for value in (band.lowest, band.highest)]
    return " to ".join(rounded(value, decimals_of_reading(band.limit, unit)) for value in ends)


def stage_in_words(band: StageBand) -> str:
    """When a stage's gauge stands still."""
    if band.from_s is None or band.to_s is None:
        return f"moves to the end in {band.moving:.0%} of the trains"
    moving = f", in {band.moving:.0%} of the trains not before its end" if band.moving else ""
    if band.to_s == 0:
        return f"at once{moving}"
    return f"after {band.from_s} to {band.to_s} s{moving}"


def reading_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """What the gauge will show, with its unit."""
    unit = rules.pressure_unit
    figure = reading_figure(reading.shows_bar, reading.limit_bar, reading.limit, unit)
    return f"{figure} {unit_of(reading.limit, unit)}"


def limit_in_words(reading: ForecastReading, rules: LocalRules) -> str:
    """The limit as the rules give it: "4.8 bar or more"."""
    return " ".join(limit_said(reading.limit_bar, reading.limit, rules.pressure_unit))


def seen_in_words(case: ForecastCase) -> str:
    """By which readings of the test a case is seen, or that it is not."""
    outside = [reading.name for reading in case.readings if not reading.within]
    if outside:
        return f"not within limits at: {'; '.join(outside)}"
    within = "within limits at every reading"
    return within if case.name == HEALTHY else f"{within}: this test does not see it"
