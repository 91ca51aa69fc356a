"""What the forecast of a brake test says and draws on paper: plain figures and words, in the unit that people read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

AtEnd = Literal["front", "rear"]


@dataclass(frozen=True, slots=True)
class ChartStage:
    """A column of the chart: the stage's name and when it begins and ends [s]."""

    name: str
    begins_s: float
    ends_s: float


@dataclass(frozen=True, slots=True)
class ChartLine:
    """What one gauge shows over time; ``numbers`` are the cases that share the line, 0 the healthy train."""

    numbers: tuple[int, ...]
    t_s: tuple[float, ...]
    shows: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class ChartLimit:
    """A limit in the column of the stage that reads it. ``levels``: where brackets stand on the gauge (one, unless it is a
    rise, which begins where each line drawn stood, the healthy one first); ``figure`` and ``tail`` are its words.
    """

    stage: int
    at_most: bool
    is_rise: bool
    levels: tuple[float, ...]
    figure: str
    tail: str


@dataclass(frozen=True, slots=True)
class ChartMark:
    """A reading as drawn: at the end of a stage, of which case, at which height, whether within its limit."""

    stage: int
    number: int
    shows: float
    within: bool


@dataclass(frozen=True, slots=True)
class ChartBand:
    """Between what healthy trains lie at one gauge over time, opened by its class."""

    t_s: tuple[float, ...]
    lowest: tuple[float, ...]
    highest: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class GaugeChart:
    """One of the two gauges: its title in short lines, the lines drawn (healthy first), limits, readings, the band."""

    at: AtEnd
    title: tuple[str, ...]
    lines: tuple[ChartLine, ...]
    limits: tuple[ChartLimit, ...]
    marks: tuple[ChartMark, ...]
    band: ChartBand | None = None


@dataclass(frozen=True, slots=True)
class ForecastFigure:
    """What a gauge shows in one case, the mark nearest to it ("" where that says nothing), whether within the limit."""

    text: str
    mark: str
    within: bool


@dataclass(frozen=True, slots=True)
class ForecastRow:
    """A reading of the test: its limit, what the healthy train shows, what each fault shows; the band, if there is one."""

    name: str
    limit: str
    limit_tail: str
    shows: tuple[ForecastFigure, ...]
    band: str = ""


@dataclass(frozen=True, slots=True)
class FaultWords:
    """A fault by its number, whose line it shares (0: not drawn; ``note`` then says how it reads), and what sees it."""

    number: int
    name: str
    drawn_as: int
    note: str
    seen: str


@dataclass(frozen=True, slots=True)
class ForecastChart:
    """The whole forecast: two gauges over the same columns, the table beneath, a sentence for each fault."""

    unit: str
    stages: tuple[ChartStage, ...]
    gauges: tuple[GaugeChart, GaugeChart]
    rows: tuple[ForecastRow, ...]
    healthy: str
    faults: tuple[FaultWords, ...]
    cautions: tuple[str, ...]
    caption: str
    still: str = ""
    """When the gauges of the stages stand still, in words."""
