"""From the forecast of a brake test to what stands on paper: which cases are drawn, limits, readings, a sentence a fault."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import TYPE_CHECKING

from headstock.local_rules.limit_figures import (
    PressureUnit,
    in_unit,
    is_at_most,
    is_pressure,
    is_rise,
    limit_figure,
    limit_said,
    limit_tail,
)
from headstock.local_rules.method_stage import CHANGES
from headstock.local_rules.test_limits import Limit
from headstock.sheets.forecast_content import (
    AtEnd,
    ChartBand,
    ChartLimit,
    ChartLine,
    ChartMark,
    ChartStage,
    FaultWords,
    ForecastChart,
    ForecastFigure,
    ForecastRow,
    GaugeChart,
)
from headstock.sheets.forecast_figures import MINUS, NOT_KNOWN, GaugeSeen, figure_text, is_close_call, nearest_mark, plain
from headstock.usecases.forecast_words import band_in_words, forecast_cautions, stage_in_words

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast, ForecastCase, ForecastReading

MOST_DRAWN = 4
"""Lines of faults that can be told apart on one chart."""
SAME_BAR = 0.02
"""Two cases that stay as near to one another as this at both gauges share a line."""
AS_HEALTHY_BAR = 0.05
CAPTION = (
    "Columns are the stages of the test, not to one scale: the seconds stand beneath. Brackets are limits, open to the side "
    "that is allowed. A dot is the healthy train when it is read, a small frame a fault not within its limit."
)
RISE_CAPTION = " A rise counts from where the stage began."

BAND_CAPTION = " Hatched: between what marks healthy trains lie."

Groups = tuple[tuple[int, ...], ...]


def forecast_chart(
    forecast: Forecast,
    unit: PressureUnit,
    front: GaugeSeen = NOT_KNOWN,
    rear: GaugeSeen = NOT_KNOWN,
) -> ForecastChart:
    """The forecast in the unit people read, its marks those of the two cabs' gauges where they are known."""
    groups = groups_drawn(forecast.cases)
    gauges: dict[AtEnd, GaugeSeen] = {"front": front, "rear": rear}
    readings = [reading for case in forecast.cases for reading in case.readings]
    return ForecastChart(
        unit=unit,
        stages=tuple(ChartStage(stage.key, stage.begins_s, stage.ends_s) for stage in forecast.stages),
        gauges=(_gauge(forecast, "front", unit, front, groups), _gauge(forecast, "rear", unit, rear, groups)),
        rows=_rows(forecast, unit, gauges),
        healthy=_healthy(forecast.cases[0]),
        faults=_faults(forecast.cases, groups, gauges),
        cautions=forecast_cautions(forecast),
        caption=CAPTION + _band_words(forecast) + _rise_words(readings) + _marks_words(gauges, unit),
        still=_still(forecast),
    )


def _band_words(forecast: Forecast) -> str:
    return BAND_CAPTION if forecast.band is not None else ""


def _still(forecast: Forecast) -> str:
    """When the gauge stands still, of the stages in which it moves."""
    if forecast.band is None:
        return ""
    moved = [stage for stage in forecast.band.stages if stage.to_s != 0]
    return "; ".join(f"{stage.stage}: {stage_in_words(stage)}" for stage in moved)


def _rise_words(readings: Sequence[ForecastReading]) -> str:
    return RISE_CAPTION if any(is_rise(reading.limit) for reading in readings) else ""


def _marks_words(gauges: dict[AtEnd, GaugeSeen], unit: PressureUnit) -> str:
    steps = dict.fromkeys(plain(in_unit(gauge.graduation_bar, unit), 2) for gauge in gauges.values() if gauge.graduation_bar)
    return f" In brackets in the table: the nearest mark of the gauge, marks {' and '.join(steps)} {unit} apart." if steps else ""


def difference_bar(case: ForecastCase, other: ForecastCase) -> float:
    """How far the readings of two cases lie apart at most [bar; what is no pressure: as a share of its limit]."""
    pairs = zip(case.readings, other.readings, strict=True)
    return max((abs(here.shows_bar - there.shows_bar) / _as_bar(here) for here, there in pairs), default=0.0)


def _as_bar(reading: ForecastReading) -> float:
    """What counts as much as a bar."""
    return 1.0 if is_pressure(reading.limit) else reading.limit_bar


def groups_drawn(cases: Sequence[ForecastCase]) -> Groups:
    """Numbers of the faults drawn, each group one line: those whose readings differ most from all that is drawn already."""
    left = [number for number in range(1, len(cases)) if not _is_same(cases[number], cases[0])]
    groups: list[tuple[int, ...]] = []
    while left and len(groups) < MOST_DRAWN:
        drawn = [cases[0], *(cases[group[0]] for group in groups)]
        farthest = max(left, key=lambda number: (min(difference_bar(cases[number], case) for case in drawn), -number))
        groups.append(tuple(number for number in left if _is_same(cases[number], cases[farthest])))
        left = [number for number in left if number not in groups[-1]]
    return tuple(sorted(groups))


def _is_same(one: ForecastCase, other: ForecastCase) -> bool:
    if one.t_s != other.t_s:
        return False
    pairs = zip(one.front_bar + one.rear_bar, other.front_bar + other.rear_bar, strict=True)
    return all(abs(here - there) <= SAME_BAR for here, there in pairs)


def _gauge(forecast: Forecast, at: AtEnd, unit: PressureUnit, seen: GaugeSeen, groups: Groups) -> GaugeChart:
    drawn: Groups = ((0,), *groups)
    lines = tuple(
        ChartLine(group, case.t_s, tuple(in_unit(value, unit) for value in _gauge_bar(case, at)))
        for group, case in ((group, forecast.cases[group[0]]) for group in drawn)
    )
    title = (f"{at.capitalize()} gauge", *((f"cab {seen.cab}",) if seen.cab else ()), unit)
    limits, marks = [], []
    for place, reading in enumerate(forecast.cases[0].readings):
        if reading.at != at or not is_drawn(reading.limit):
            continue
        stage = _stage_number(forecast, reading)
        limits.append(_limit(forecast, reading, stage, unit, drawn))
        for group in drawn:
            case = forecast.cases[group[0]]
            marks.append(_mark(forecast, case, case.readings[place], stage, unit, group[0]))
    return GaugeChart(at, title, lines, tuple(limits), tuple(marks), _band(forecast, at, unit))


def is_drawn(limit: Limit) -> bool:
    """Whether a limit has a place at a gauge: a pressure that stands, or a rise. A fall, a leak, a count stand in the table."""
    return is_pressure(limit) and (is_rise(limit) or limit not in CHANGES)


def _band(forecast: Forecast, at: AtEnd, unit: PressureUnit) -> ChartBand | None:
    """The band of one gauge in the unit people read."""
    if forecast.band is None:
        return None
    own = next(gauge for gauge in forecast.band.gauges if gauge.at == at)
    lowest, highest = (tuple(in_unit(value, unit) for value in row) for row in (own.lowest_bar, own.highest_bar))
    return ChartBand(forecast.band.t_s, lowest, highest)


def _stage_number(forecast: Forecast, reading: ForecastReading) -> int:
    return next(number for number, stage in enumerate(forecast.stages) if stage.key == reading.stage)


def _gauge_bar(case: ForecastCase, at: AtEnd) -> tuple[float, ...]:
    return case.front_bar if at == "front" else case.rear_bar


def shown_at(t_s: Sequence[float], shows: Sequence[float], when_s: float) -> float:
    """A line's height at a moment, straight between samples."""
    place = bisect_left(t_s, when_s)
    if place == 0 or place == len(t_s):
        return shows[0] if place == 0 else shows[-1]
    share = (when_s - t_s[place - 1]) / (t_s[place] - t_s[place - 1])
    return shows[place - 1] + share * (shows[place] - shows[place - 1])


def _limit(forecast: Forecast, reading: ForecastReading, stage: int, unit: PressureUnit, drawn: Groups) -> ChartLimit:
    bases: tuple[float, ...] = (0.0,)
    if is_rise(reading.limit):
        begins_s = forecast.stages[stage].begins_s
        cases = [forecast.cases[group[0]] for group in drawn]
        bases = tuple(shown_at(case.t_s, _gauge_bar(case, reading.at), begins_s) for case in cases)
    levels = tuple(in_unit(base + reading.limit_bar, unit) for base in bases)
    of = "rise " if is_rise(reading.limit) else ""
    figure, tail = f"{of}{limit_figure(reading.limit_bar, reading.limit, unit)}", limit_tail(reading.limit)
    return ChartLimit(stage, is_at_most(reading.limit), is_rise(reading.limit), levels, figure, tail)


def _mark(
    forecast: Forecast, case: ForecastCase, reading: ForecastReading, stage: int, unit: PressureUnit, number: int
) -> ChartMark:
    base_bar = 0.0
    if is_rise(reading.limit):
        base_bar = shown_at(case.t_s, _gauge_bar(case, reading.at), forecast.stages[stage].begins_s)
    return ChartMark(stage, number, in_unit(base_bar + reading.shows_bar, unit), reading.within)


def _rows(forecast: Forecast, unit: PressureUnit, gauges: dict[AtEnd, GaugeSeen]) -> tuple[ForecastRow, ...]:
    rows, cases = [], forecast.cases
    for place, reading in enumerate(cases[0].readings):
        shown = (case.readings[place] for case in cases)
        figures = tuple(
            ForecastFigure(figure_text(here, unit), nearest_mark(here, unit, gauges[here.at]), here.within) for here in shown
        )
        band = forecast.band.of_stage(reading.stage) if forecast.band is not None else None
        is_plain = is_pressure(reading.limit) and "per_min" not in reading.limit
        said_limit = limit_said(reading.limit_bar, reading.limit, unit)[0]
        limit = limit_figure(reading.limit_bar, reading.limit, unit) if is_plain else said_limit
        said = band_in_words(band, unit).replace("-", MINUS) if band is not None else ""
        rows.append(ForecastRow(reading.name, limit, limit_tail(reading.limit), figures, said))
    return tuple(rows)


def _healthy(case: ForecastCase) -> str:
    outside = "; ".join(reading.name for reading in case.readings if not reading.within)
    if not outside:
        return "Within limits at every reading."
    return f"Not within limits at: {outside}. Look at the job's papers and the limits before the test."


def _faults(cases: Sequence[ForecastCase], groups: Groups, gauges: dict[AtEnd, GaugeSeen]) -> tuple[FaultWords, ...]:
    shared = {number: group[0] for group in groups for number in group}
    words = []
    for number, case in enumerate(cases[1:], start=1):
        as_healthy = difference_bar(case, cases[0]) < AS_HEALTHY_BAR
        note = "" if number in shared else "reads as healthy, not drawn" if as_healthy else "in the table, not drawn"
        words.append(FaultWords(number, case.name, shared.get(number, 0), note, _seen(case, gauges)))
    return tuple(words)


def _seen(case: ForecastCase, gauges: dict[AtEnd, GaugeSeen]) -> str:
    """Which readings of the test see the fault; one that is out by less than half a mark asks for a close look."""
    seen = [
        reading.name + (" (by less than half a mark: look closely)" if is_close_call(reading, gauges[reading.at]) else "")
        for reading in case.readings
        if not reading.within
    ]
    return f"Seen at: {'; '.join(seen)}." if seen else "Not seen by any reading of this test: within limits everywhere."
