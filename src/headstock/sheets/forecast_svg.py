"""The forecast as a drawing: two gauges over the same columns, in one ink; 1 unit = 1 mm on paper."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import groupby

from headstock.sheets.forecast_band_svg import band_svg
from headstock.sheets.forecast_brackets import BAR_MM, LEG_MM, Bracket, brackets_of
from headstock.sheets.forecast_chart import shown_at
from headstock.sheets.forecast_content import ChartLine, ChartMark, ChartStage, ForecastChart, GaugeChart
from headstock.sheets.forecast_frame import (
    FIGURE_EM,
    LEFT,
    LETTER,
    RIGHT,
    WIDTH,
    DrawnLine,
    Frame,
    axis_marks,
    axis_step,
    column_edges,
    drawn_lines,
    letters_mm,
    scales_of,
    stage_heads,
    steps_x,
)
from headstock.sheets.forecast_labels import Box, boxed, place_labels
from headstock.sheets.svg import FONT, PRINT

HEAD, BETWEEN, FOOT, ROW = 8.0, 3.0, 4.6, 3.2
HEALTHY_MM, FAULT_MM, HAIR_MM = 0.75, 0.4, 0.15
DASHES = ("2.4 1.1", "0.6 0.8", "4.4 0.9 0.6 0.9", "2 0.7 0.6 0.7 0.6 0.7")
MARK_MM, LABEL_MM = 2.4, 3.6
FIGURES = "B612"


def forecast_svg(chart: ForecastChart) -> str:
    """Both gauges, the front one above; names of the stages over the columns, seconds beneath."""
    edges, scales = column_edges(chart.stages), scales_of(chart)
    times = (*(stage.begins_s for stage in chart.stages), chart.stages[-1].ends_s)
    step, dashes, top = axis_step(scales), dash_of(chart), HEAD
    parts = [_heads(chart.stages, edges)]
    for gauge, scale in zip(chart.gauges, scales, strict=True):
        frame = Frame(edges, times, scale, top)
        parts += [_grid(frame, gauge, step), _gauge(frame, gauge, dashes)]
        top = frame.bottom + BETWEEN
    height = top - BETWEEN + FOOT
    parts += [_seconds(chart.stages, edges, height - 1.2)]
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {height:.2f}">{"".join(parts)}</svg>'


def dash_of(chart: ForecastChart) -> dict[int, str]:
    """The pattern of each line of a fault, by the number that its group is drawn as; the same at both gauges."""
    leaders = sorted({fault.drawn_as for fault in chart.faults if fault.drawn_as})
    return {leader: DASHES[place % len(DASHES)] for place, leader in enumerate(leaders)}


def _text(x: float, y: float, words: str, how: str, size: float = LETTER, family: str = FONT, before: str = "") -> str:
    return (f'<text x="{x:.2f}" y="{y:.2f}" font-family="{family}" font-size="{size:g}" fill="{PRINT["ink"]}" {how}>'
            f"{before}{escape(words)}</text>")  # fmt: skip


def _heads(stages: Sequence[ChartStage], edges: Sequence[float]) -> str:
    parts = []
    for number, lines in enumerate(stage_heads(stages, edges)):
        middle, first = (edges[number] + edges[number + 1]) / 2, HEAD - 1.6 - ROW * (len(lines) - 1)
        parts += [_text(middle, first + ROW * row, line, 'text-anchor="middle"') for row, line in enumerate(lines)]
    return "".join(parts)


def _seconds(stages: Sequence[ChartStage], edges: Sequence[float], y: float) -> str:
    middles = [(edges[number] + edges[number + 1]) / 2 for number in range(len(stages))]
    said = [f"{stage.ends_s - stage.begins_s:g} s" for stage in stages]
    return "".join(_text(x, y, words, 'text-anchor="middle"') for x, words in zip(middles, said, strict=True))


def _grid(frame: Frame, gauge: GaugeChart, step: float) -> str:
    """Columns and marks in hairlines, figures of the scale, the gauge's name at its left."""
    hair = f'stroke="{PRINT["rule"]}" stroke-width="{HAIR_MM}" fill="none"'
    parts = [f'<path d="M{x:.2f} {frame.top:.2f}V{frame.bottom:.2f}" {hair}/>' for x in frame.edges]
    for mark in axis_marks(frame.scale, step):
        y = frame.y(mark)
        parts.append(f'<path d="M{LEFT:g} {y:.2f}H{RIGHT:g}" {hair}/>')
        parts.append(_text(LEFT - 1.2, y + 1, f"{mark:.6g}", 'text-anchor="end" font-weight="700"', family=FIGURES))
    for y in (frame.top, frame.bottom):
        parts.append(f'<path d="M{LEFT:g} {y:.2f}H{RIGHT:g}" stroke="{PRINT["ink"]}" stroke-width="{HAIR_MM * 2}"/>')
    names = [(words, 800, 3.3) for words in gauge.title[0].split()] + [(words, 400, LETTER) for words in gauge.title[1:]]
    first = (frame.top + frame.bottom) / 2 - 1.8 * len(names) + 2.6
    for row, (words, weight, size) in enumerate(names):
        parts.append(_text(0, first + 3.6 * row, words, f'font-weight="{weight}"', size))
    return "".join(parts)


def _gauge(frame: Frame, gauge: GaugeChart, dashes: dict[int, str]) -> str:
    drawn = drawn_lines(frame, gauge)
    brackets, labels = laid_out(frame, gauge, drawn)
    parts = [band_svg(frame, gauge.band, gauge.at)] if gauge.band is not None else []
    parts += [_line(frame, line.source, dashes.get(line.numbers[0], "")) for line in reversed(drawn)]
    parts += [_bracket(bracket) for bracket in brackets]
    parts.append(_shapes(frame, gauge))
    parts += [_label(box, words_on(line.numbers)) for box, line in zip(labels, drawn, strict=True)]
    return "".join(parts)


def _marks(gauge: GaugeChart) -> list[ChartMark]:
    """Readings that are marked: the healthy ones, and those of faults outside a limit."""
    return [mark for mark in gauge.marks if mark.number == 0 or not mark.within]


def _shapes(frame: Frame, gauge: GaugeChart) -> str:
    """The marks; frames that would lie on one another are one."""
    drawn: list[Box] = []
    parts = []
    for mark in _marks(gauge):
        here = boxed(frame.edges[mark.stage + 1], frame.y(mark.shows), 0.6, 0.6)
        if mark.number == 0 or not any(here.meets(other) for other in drawn):
            parts.append(_mark(frame.edges[mark.stage + 1], frame.y(mark.shows), mark.number))
            drawn += [here] if mark.number else []
    return "".join(parts)


def laid_out(frame: Frame, gauge: GaugeChart, drawn: Sequence[DrawnLine]) -> tuple[list[Bracket], list[Box]]:
    """Brackets of the limits and a label's box for each line, so that as little as can be meets."""
    marks = [boxed(frame.edges[mark.stage + 1], frame.y(mark.shows), MARK_MM, MARK_MM) for mark in _marks(gauge)]
    brackets = brackets_of(frame, gauge.limits, drawn, marks)
    taken = [*marks, *(box for bracket in brackets for box in bracket.boxes)]
    room = Box(LEFT + 0.5, frame.top + 0.2, RIGHT - 0.5, frame.bottom - 0.4)
    sizes = [(_label_mm(words_on(line.numbers)), LABEL_MM) for line in drawn]
    return brackets, place_labels(steps_x(), [line.heights for line in drawn], sizes, taken, room)


def words_on(numbers: Sequence[int]) -> str:
    """The label of a line: the cases that it stands for; three or more in a row as first and last."""
    parts = []
    for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0]):
        row = [number for _, number in run]
        if row[0] == 0:
            parts.append("healthy")
            row = row[1:]
        parts += [f"{row[0]}\u2013{row[-1]}"] if len(row) > 2 else [str(number) for number in row]
    return ", ".join(parts)


def _label_mm(words: str) -> float:
    return letters_mm(words) + 1.6 if words[0].isalpha() else FIGURE_EM * LETTER * len(words) + 1.4


def _bracket(bracket: Bracket) -> str:
    """The bar's edge toward the allowed side stands at the limit, legs toward that side."""
    down = 1 if bracket.limit.at_most else -1
    y, left, right = bracket.y - down * BAR_MM / 2, bracket.left + BAR_MM / 2, bracket.right - BAR_MM / 2
    leg = LEG_MM + BAR_MM / 2
    path = f"M{left:.2f} {y + down * leg:.2f}v{-down * leg:.2f}H{right:.2f}v{down * leg:.2f}"
    shape = f'<path d="{path}" fill="none" stroke="{PRINT["ink"]}" stroke-width="{BAR_MM:g}"/>'
    # Words first: their white ground must not eat into the bar.
    return _limit_words(bracket) + shape


def _limit_words(bracket: Bracket) -> str:
    """Figure and tail on white, so that a line behind them does not spoil them."""
    how, words = 'text-anchor="end"', bracket.words
    if words is None:
        return ""
    back = _back(words)  # not a white edge: on a printed page the edge of each letter eats into the letter before it
    figure = f'<tspan font-family="{FIGURES}" font-weight="700">{escape(bracket.limit.figure)}</tspan>'
    if bracket.is_one_line:
        return back + _text(words.right, words.bottom - 0.6, f" {bracket.limit.tail}", how, before=figure)
    return (
        back
        + _text(words.right, words.top + 2.5, "", how, before=figure)
        + _text(words.right, words.bottom - 0.6, bracket.limit.tail, how)
    )


def _mark(x: float, y: float, number: int) -> str:
    ink = PRINT["ink"]
    if number == 0:
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="0.95" fill="{ink}"/>'
    return f'<rect x="{x - 1:.2f}" y="{y - 1:.2f}" width="2" height="2" fill="#fff" stroke="{ink}" stroke-width="0.45"/>'


def _label(box: Box, words: str) -> str:
    middle, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    family = FONT if words[0].isalpha() else FIGURES
    return _back(box) + _text(middle, y + 1, words, 'text-anchor="middle" font-weight="700"', family=family)


def _back(box: Box) -> str:
    """White behind words."""
    return (f'<rect x="{box.left:.2f}" y="{box.top:.2f}" width="{box.right - box.left:.2f}" '
            f'height="{box.bottom - box.top:.2f}" fill="#fff"/>')  # fmt: skip


def _line(frame: Frame, line: ChartLine, dash: str) -> str:
    first, last = frame.times[0], frame.times[-1]
    moments = sorted({first, last, *frame.times, *(t_s for t_s in line.t_s if first <= t_s <= last)})
    points = thinned([(frame.x(t_s), frame.y(shown_at(line.t_s, line.shows, t_s))) for t_s in moments])
    path = "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    how = f'fill="none" stroke="{PRINT["ink"]}" stroke-width="{FAULT_MM if dash else HEALTHY_MM:g}" stroke-linejoin="round"'
    return f'<path d="M{path}" {how}{dashed}/>'


def thinned(points: Sequence[tuple[float, float]], off: float = 0.04) -> list[tuple[float, float]]:
    """The points that matter: those left out lie no farther than ``off`` from the line."""
    kept = {0, len(points) - 1}
    spans = [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        (x0, y0), (x1, y1) = points[first], points[last]
        slope = (y1 - y0) / (x1 - x0) if x1 > x0 else 0.0
        away = [abs(y - y0 - slope * (x - x0)) for x, y in points[first + 1 : last]]
        if away and max(away) > off:
            at = first + 1 + away.index(max(away))
            kept.add(at)
            spans += [(first, at), (at, last)]
    return [points[place] for place in sorted(kept)]
