"""A driver asks: stage by stage, how long, and what will both gauges show? The forecast as a list of moments."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from headstock.brake_test.forecast import Forecast, ForecastCase
from headstock.local_rules.limit_figures import DECIMALS, in_unit
from headstock.local_rules.rules import LocalRules
from headstock.usecases.forecast_words import band_in_words, limit_in_words, reading_in_words, stage_in_words


@dataclass(frozen=True, slots=True)
class ForecastMoment:
    """The end of a stage: how long it lasts [s], both gauges of the healthy train [bar, gauge] and as people read them.

    ``reads``: the reading that is due then, with what it will show, its limit and the band; "" for none.
    """

    stage: str
    lasts_s: float
    front_bar: float
    rear_bar: float
    front: str
    rear: str
    reads: str
    shows: str
    limit: str
    band: str
    still: str
    within: bool


def forecast_moments(forecast: Forecast, rules: LocalRules) -> tuple[ForecastMoment, ...]:
    """One for each stage, of the healthy train."""
    healthy, unit = forecast.cases[0], rules.pressure_unit
    readings = {reading.stage: reading for reading in healthy.readings}
    still = {stage.stage: stage_in_words(stage) for stage in forecast.band.stages} if forecast.band is not None else {}
    found = []
    for span in forecast.stages:
        front_bar, rear_bar = _gauges(healthy, span.ends_s)
        front, rear = (f"{in_unit(max(bar, 0.0), unit):.{DECIMALS[unit]}f}" for bar in (front_bar, rear_bar))
        reading = readings.get(span.key)
        band = forecast.band.of_stage(span.key) if forecast.band is not None else None
        found.append(ForecastMoment(
            span.key, span.ends_s - span.begins_s, front_bar, rear_bar, front, rear,
            reading.name if reading else "", reading_in_words(reading, rules) if reading else "",
            limit_in_words(reading, rules) if reading else "", band_in_words(band, unit) if band is not None else "",
            still.get(span.key, ""), reading.within if reading else True,
        ))  # fmt: skip
    return tuple(found)


def _gauges(case: ForecastCase, when_s: float) -> tuple[float, float]:
    """Both gauges at a moment [bar]: the last sample not after it."""
    place = max(bisect_right(case.t_s, when_s) - 1, 0)
    return case.front_bar[place], case.rear_bar[place]
