"""The forecast as plain values for the setting, and its drawing in words."""

from __future__ import annotations

from typing import Any

from headstock.sheets.forecast_chart import shown_at
from headstock.sheets.forecast_content import ChartBand, ChartLine, ForecastChart, GaugeChart
from headstock.sheets.forecast_frame import column_edges, stage_heads
from headstock.sheets.forecast_svg import dash_of

FAULTS_A_TABLE = 8
"""So many faults stand beside the healthy train on the page's width; more go to a table of their own."""


def forecast_data(chart: ForecastChart) -> dict[str, Any]:
    """Everything printed round the drawing."""
    dashes = dash_of(chart)
    return {
        "unit": chart.unit, "healthy": chart.healthy, "cautions": chart.cautions, "caption": chart.caption + _stages_line(chart),
        "tables": [_table(chart, first) for first in range(0, max(len(chart.faults), 1), FAULTS_A_TABLE)],
        "faults": [
            {"number": fault.number, "name": fault.name, "seen": fault.seen, "note": fault.note,
             "dash": [float(part) for part in dashes.get(fault.drawn_as, "").split()]} for fault in chart.faults
        ],
        "text": forecast_text(chart), "still": chart.still,
    }  # fmt: skip


def _stages_line(chart: ForecastChart) -> str:
    """Names of the stages, where the columns have room for their numbers only."""
    heads = stage_heads(chart.stages, column_edges(chart.stages))
    if " ".join(heads[0]) == chart.stages[0].name:
        return ""
    return " Stages: " + ", ".join(f"{number} {stage.name}" for number, stage in enumerate(chart.stages, start=1)) + "."


def _table(chart: ForecastChart, first: int) -> dict[str, Any]:
    """A table of some faults beside the healthy train."""
    numbers = [0, *(fault.number for fault in chart.faults[first : first + FAULTS_A_TABLE])]
    rows = []
    for row in chart.rows:
        shows = [row.shows[number] for number in numbers]
        cells = [{"text": figure.text, "mark": figure.mark, "within": figure.within} for figure in shows]
        rows.append({"name": row.name, "limit": row.limit, "limit_tail": row.limit_tail, "band": row.band, "shows": cells})
    return {"heads": ["healthy", *map(str, numbers[1:])], "rows": rows, "has_band": any(row.band for row in chart.rows)}


def forecast_text(chart: ForecastChart) -> str:
    """The drawing in words: at each gauge, what each line shows when each stage ends, and the limits."""
    return " ".join(_gauge_text(chart, gauge) for gauge in chart.gauges)


def _gauge_text(chart: ForecastChart, gauge: GaugeChart) -> str:
    parts = [f"{', '.join(gauge.title)}, when each stage ends."]
    for line in gauge.lines:
        shown = ", ".join(f"{stage.name} {_shown(line, stage.ends_s)}" for stage in chart.stages)
        name = "Healthy" if line.numbers == (0,) else f"Fault {' and '.join(map(str, line.numbers))}"
        parts.append(f"{name}: {shown}.")
    if gauge.band is not None:
        parts.append(f"Band: {', '.join(f'{stage.name} {_between(gauge.band, stage.ends_s)}' for stage in chart.stages)}.")
    limits = [f"{chart.stages[limit.stage].name} {limit.figure} {limit.tail}" for limit in gauge.limits]
    return " ".join([*parts, f"Limits: {', '.join(limits) or 'none'}."])


def _between(band: ChartBand, when_s: float) -> str:
    low, high = (_shown(ChartLine((), band.t_s, row), when_s) for row in (band.lowest, band.highest))
    return f"{low} to {high}"


def _shown(line: ChartLine, when_s: float) -> str:
    text = f"{shown_at(line.t_s, line.shows, when_s):.1f}"
    return text.removeprefix("-") if float(text) == 0.0 else text
