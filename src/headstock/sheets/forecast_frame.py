"""Where things lie on the drawing of a forecast: columns, scales, lines as heights; 1 unit = 1 mm on paper."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10, sqrt

from headstock.sheets.forecast_chart import shown_at
from headstock.sheets.forecast_content import ChartLine, ChartStage, ForecastChart, GaugeChart
from headstock.sheets.forecast_labels import Box

WIDTH, LEFT, RIGHT = 194.0, 21.0, 192.6
LETTER = 2.85
"""Height of letters: 8.1 pt."""
FIGURE_EM, LETTER_EM = 0.66, 0.54
"""Width of a figure of B612 bold, and of a letter at its widest on average [em]."""
LEAST_COLUMN = 11.0
BOTH_PLOTS, LEAST_PLOT = 78.0, 26.0
"""Heights of the two plots together, and the least of one."""
PAD, WORDS_PAD = 3.0, 8.2
"""Room beyond the outermost line, and beyond a limit, where its words stand."""
AXIS_MARKS = 5
STEP = 0.5
SAME_MM = 0.8
"""Lines that stay as near as this everywhere are one line on paper."""
EVEN = 1e-9


@dataclass(frozen=True, slots=True)
class Scale:
    """Ends of a gauge's scale, and how many mm a unit of pressure takes."""

    low: float
    high: float
    unit_mm: float

    @property
    def height(self) -> float:
        """Of the plot [mm]."""
        return (self.high - self.low) * self.unit_mm


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a moment and a pressure lie: column edges [mm] at the stages' times [s], the scale, the plot's top."""

    edges: tuple[float, ...]
    times: tuple[float, ...]
    scale: Scale
    top: float

    @property
    def bottom(self) -> float:
        """Of the plot."""
        return self.top + self.scale.height

    def holds(self, box: Box) -> bool:
        """Whether a box lies inside the plot."""
        return Box(self.edges[0], self.top, self.edges[-1], self.bottom).holds(box)

    def x(self, t_s: float) -> float:
        """Straight within a column."""
        return _between(self.times, self.edges, t_s)

    def time(self, x: float) -> float:
        """The moment at a place."""
        return _between(self.edges, self.times, x)

    def y(self, shows: float) -> float:
        """Downward from the plot's top."""
        return self.top + self.scale.unit_mm * (self.scale.high - shows)


def _between(given: Sequence[float], wanted: Sequence[float], value: float) -> float:
    column = min(max(bisect_right(given, value) - 1, 0), len(given) - 2)
    share = (value - given[column]) / (given[column + 1] - given[column])
    return wanted[column] + share * (wanted[column + 1] - wanted[column])


def letters_mm(words: str) -> float:
    """About how wide words are in the chart's letters."""
    return LETTER_EM * LETTER * len(words)


def column_edges(stages: Sequence[ChartStage]) -> tuple[float, ...]:
    """Each stage a column; its width grows with the root of its length, so that 8 s stand beside 240 s."""
    roots = [sqrt(stage.ends_s - stage.begins_s) for stage in stages]
    least = min(LEAST_COLUMN, 0.75 * (RIGHT - LEFT) / len(stages))
    unit_mm = (RIGHT - LEFT - least * len(stages)) / sum(roots)
    edges = [LEFT]
    for root in roots:
        edges.append(edges[-1] + least + unit_mm * root)
    return (*edges[:-1], RIGHT)


def stage_heads(stages: Sequence[ChartStage], edges: Sequence[float]) -> list[tuple[str, ...]]:
    """Each stage's name in at most two lines; where one is too wide for its column, numbers for all."""
    heads = [_broken(stage.name, edges[number + 1] - edges[number]) for number, stage in enumerate(stages)]
    return heads if all(heads) else [(str(number),) for number in range(1, len(stages) + 1)]


def _broken(name: str, wide: float) -> tuple[str, ...]:
    words = name.split()
    ways = [(name,)] + [(" ".join(words[:cut]), " ".join(words[cut:])) for cut in range(1, len(words))]
    return next((way for way in ways if max(letters_mm(line) for line in way) <= wide), ())


def scales_of(chart: ForecastChart) -> tuple[Scale, Scale]:
    """A scale for each gauge: as many mm to a bar at both, each only as high as its lines, limits and words need."""
    unit_mm = 1.0
    spans = [_span(gauge) for gauge in chart.gauges]
    for _ in range(40):
        # Words of limits take room beyond them that depends on the scale, and the scale on the room: a few rounds settle it.
        pads = [sum(_pads(gauge, unit_mm)) for gauge in chart.gauges]
        lines_mm = BOTH_PLOTS - sum(pads)
        unit_mm = (unit_mm + lines_mm / max(sum(high - low for low, high in spans), EVEN)) / 2
    first, second = (_scale(gauge, unit_mm) for gauge in chart.gauges)
    return first, second


def _span(gauge: GaugeChart) -> tuple[float, float]:
    values = [value for line in gauge.lines for value in line.shows] + [level for limit in gauge.limits for level in limit.levels]
    if gauge.band is not None:
        values += [*gauge.band.lowest, *gauge.band.highest]
    return min(values), max(values)


def _pads(gauge: GaugeChart, unit_mm: float) -> tuple[float, float]:
    """Room under the lowest and above the highest value [mm]."""
    low, high = _span(gauge)
    above = [WORDS_PAD - (high - level) * unit_mm for limit in gauge.limits if limit.at_most for level in limit.levels]
    under = [WORDS_PAD - (level - low) * unit_mm for limit in gauge.limits if not limit.at_most for level in limit.levels]
    return max([PAD, *under]), max([PAD, *above])


def _scale(gauge: GaugeChart, unit_mm: float) -> Scale:
    low, high = _span(gauge)
    under, above = _pads(gauge, unit_mm)
    under += max(0.0, LEAST_PLOT - under - above - (high - low) * unit_mm)
    return Scale(low - under / unit_mm, high + above / unit_mm, unit_mm)


def axis_step(scales: Sequence[Scale]) -> float:
    """The step of the marks on the scale: 1, 2 or 5 of a power of ten."""
    rough = max(scale.high - scale.low for scale in scales) / AXIS_MARKS
    power = 10.0 ** floor(log10(rough))
    return next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times >= rough * 0.8)


def axis_marks(scale: Scale, step: float) -> list[float]:
    """Marks of the scale; none is below nothing."""
    first, last = ceil(max(scale.low, 0.0) / step - EVEN), floor(scale.high / step + EVEN)
    return [number * step for number in range(first, last + 1)]


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line on paper with every case that it stands for, and its height at each step of the width."""

    numbers: tuple[int, ...]
    source: ChartLine
    heights: tuple[float, ...]


def steps_x() -> list[float]:
    """Places across the width at which lines are compared."""
    return [LEFT + STEP * place for place in range(int((RIGHT - LEFT) / STEP) + 1)]


def drawn_lines(frame: Frame, gauge: GaugeChart) -> list[DrawnLine]:
    """Lines of a gauge; cases that stay together on paper share one."""
    drawn: list[DrawnLine] = []
    for line in gauge.lines:
        heights = tuple(frame.y(shown_at(line.t_s, line.shows, frame.time(x))) for x in steps_x())
        for place, other in enumerate(drawn):
            if all(abs(here - there) <= SAME_MM for here, there in zip(heights, other.heights, strict=True)):
                drawn[place] = DrawnLine(tuple(sorted(other.numbers + line.numbers)), other.source, other.heights)
                break
        else:
            drawn.append(DrawnLine(line.numbers, line, heights))
    return drawn
