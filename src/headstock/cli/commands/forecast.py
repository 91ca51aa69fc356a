"""``forecast``: what the gauges at both ends will show in the brake test, as a table."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from headstock.brake_test.band_task import MEMBERS
from headstock.brake_test.forecast import HEALTHY, Forecast, ForecastReading
from headstock.brake_test.forecast_band import ForecastBand
from headstock.brake_test.forecast_reading import not_forecast
from headstock.cli.commands.plan import NO_ORDER
from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.local_rules.rules import LocalRules
from headstock.usecases.answers_as_data.forecast import forecast_as_json
from headstock.usecases.forecast_bands import BandAsked
from headstock.usecases.forecast_job import JobForecast, forecast_job
from headstock.usecases.forecast_words import (
    band_in_words,
    forecast_cautions,
    limit_in_words,
    reading_in_words,
    seen_in_words,
    stage_in_words,
)
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, drawn_bands, fleet_from

FAULTS_ABREAST = 3


def run_forecast(
    job: Path, faults: tuple[str, ...], as_json: bool, fleet: Path | None, method: str | None = None, *,
    members: int = MEMBERS, drawn: Path | None = None,
) -> int:  # fmt: skip
    """Forecast the brake test of a job's train, by its own or another method, and print it."""
    band = BandAsked(drawn_bands(), members, drawn)
    answer = forecast_job(job, fleet_from(fleet), air_engine(), faults, method, band)
    if as_json:
        print_json(forecast_as_json(answer))
    else:
        _print_forecast(answer)
    return ANSWER_STATUS[answer.plan.answer]


def _print_forecast(answer: JobForecast) -> None:
    from rich.console import Console

    console = Console(highlight=False, markup=False)
    plan, forecast = answer.plan, answer.forecast
    rules = plan.papers.rules
    console.print(f"{plan.papers.job.title} · brake test: {(answer.method or plan.papers.method).name}", style="bold")
    console.print(f"Local rules: {rules.name}, edition {rules.edition}" + (" (invented)" if rules.invented else ""))
    console.print(f"Caution: {STANDING_CAUTION}")
    if forecast is None:
        console.print(NO_ORDER[plan.answer], style="bold")
        for reason in plan.reasons:
            console.print(f"  - {reason}")
        return
    for caution in forecast_cautions(forecast):
        console.print(f"Caution: {caution}")
    for table in _tables(forecast, rules):
        console.print(table)
    console.print(f"In brackets: not within its limit. Figures in {rules.pressure_unit}, read at the end of each stage.")
    for words in not_forecast(answer.method or plan.papers.method):
        console.print(f"Not forecast: {words}.")
    if forecast.band is not None:
        console.print("Band: from and to what the gauge may show. When the gauge of each stage stands still:")
        console.print(_stages(forecast, forecast.band))
    for number, case in enumerate(forecast.cases):
        console.print(f"{number or HEALTHY}{f' {case.name}' if number else ''}: {seen_in_words(case)}")


def _tables(forecast: Forecast, rules: LocalRules) -> Iterator[Any]:
    """A row a reading, a column a case, so many side by side as a narrow terminal has room for; brackets: outside the limit."""
    from rich.table import Table

    healthy, *faults = enumerate(forecast.cases)
    for first in range(0, max(len(faults), 1), FAULTS_ABREAST):
        shown = [healthy, *faults[first : first + FAULTS_ABREAST]]
        table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
        band = forecast.band
        for heading in ("gauge shows", "limit", *(("band",) if band is not None else ())):
            table.add_column(heading, no_wrap=True)
        for number, case in shown:
            table.add_column(str(number) if number else case.name, justify="right", no_wrap=True)
        for row, reading in enumerate(healthy[1].readings):
            cells = [_cell(case.readings[row], rules) for _, case in shown]
            table.add_row(reading.name, limit_in_words(reading, rules), *_band_cell(band, reading.stage, rules), *cells)
        yield table


def _band_cell(band: ForecastBand | None, stage: str, rules: LocalRules) -> tuple[str, ...]:
    """The band of a stage's reading, where there are bands."""
    if band is None:
        return ()
    reading = band.of_stage(stage)
    return ("" if reading is None else band_in_words(reading, rules.pressure_unit),)


def _stages(forecast: Forecast, band: ForecastBand) -> Any:
    """A row a stage: how long the rules give it, and when its gauge stands still."""
    from rich.table import Table

    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading, how in (("stage", "left"), ("lasts", "right"), ("gauge still", "left")):
        table.add_column(heading, justify=how, no_wrap=True)  # type: ignore[arg-type]
    for span, stage in zip(forecast.stages, band.stages, strict=True):
        table.add_row(span.key, f"{span.ends_s - span.begins_s:.0f} s", stage_in_words(stage))
    return table


def _cell(reading: ForecastReading, rules: LocalRules) -> str:
    figure = reading_in_words(reading, rules).rpartition(" ")[0]
    return f" {figure} " if reading.within else f"[{figure}]"
