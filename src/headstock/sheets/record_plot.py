"""A record beside what would have been recorded: each channel over time, the difference beneath; one ink, 1 unit = 1 mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from math import ceil, floor, isfinite

from headstock.devices.marks import Ink
from headstock.sheets.forecast_svg import thinned
from headstock.sheets.svg import FONT, PRINT

WIDTH, LEFT, RIGHT, LETTER = 194.0, 29.0, 192.0, 2.85
HIGH, OFF_HIGH, GAP, HEAD, FOOT = 30.0, 14.0, 5.0, 8.0, 5.0
HAIR, RECORDED, INSIDE, MODEL = 0.15, 1.5, 1.1, 0.45
UNDER, CLOSE = 3.0, 3.4
"""Room between a channel and its difference; numbers nearer than the second go one above the other."""
DASH = "2.4 1.1"
TRACE = 0.15
"""So little below a mark is noise and asks for no other mark [unit of the plot]."""
INK = PRINT["ink"]
LEAST_OFF = 0.2
"""The difference's scale goes at least so far to either side [unit of the plot]."""


@dataclass(frozen=True, slots=True)
class PlotChannel:
    """A channel in the unit people read: what was recorded (nan in gaps), what would have been, what may be off."""

    name: str
    recorded: Sequence[float]
    simulated: Sequence[float]
    may_be_off: Sequence[float]


@dataclass(frozen=True, slots=True)
class RecordPlot:
    """Channels over the same times [s], moves (when [s], their words), the unit."""

    title: str
    unit: str
    t_s: Sequence[float]
    channels: tuple[PlotChannel, ...]
    moves: tuple[tuple[float, str], ...]


def record_svg(plot: RecordPlot) -> str:
    """The drawing; its words are in its title and in ``record_text``."""
    parts, top = [], HEAD
    for channel in plot.channels:
        parts.append(_channel(plot, channel, top))
        top += HIGH + OFF_HIGH + GAP
    height = top + FOOT
    parts.insert(0, _moves(plot, HEAD, top - GAP))
    parts.append(_times(plot, top - GAP + 3.2))
    words = f"<title>{escape(record_text(plot))}</title>"
    frame = f'viewBox="0 0 {WIDTH:g} {height:.2f}" role="img"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {frame}>{words}{"".join(parts)}</svg>'


def record_text(plot: RecordPlot) -> str:
    """The drawing in words."""
    parts = [f"{plot.title}."]
    for channel in plot.channels:
        off = [abs(a - b) for a, b in zip(channel.recorded, channel.simulated, strict=True) if isfinite(a)]
        parts.append(f"{channel.name}: recorded and reckoned differ by at most {max(off, default=0.0):.2f} {plot.unit}.")
    return " ".join(parts)


def _x(plot: RecordPlot, t_s: float) -> float:
    return LEFT + (RIGHT - LEFT) * t_s / plot.t_s[-1]


def _text(x: float, y: float, words: str, how: str = "", size: float = LETTER) -> str:
    font = f'font-family="{FONT}, Headstock, sans-serif" font-size="{size:g}" fill="{INK}"'
    return f'<text x="{x:.2f}" y="{y:.2f}" {font} {how}>{escape(words)}</text>'


def _line(x: float, y: float, to: str, width: float = HAIR, ink: str = "rule") -> str:
    stroke = PRINT["ink"] if ink == "ink" else PRINT["rule"]
    return f'<path d="M{x:.2f} {y:.2f}{to}" stroke="{stroke}" stroke-width="{width:g}" fill="none"/>'


def _moves(plot: RecordPlot, top: float, bottom: float) -> str:
    """A hairline where something was moved, with its number."""
    parts, before, row = [], -CLOSE, 0
    for number, (when_s, _) in enumerate(plot.moves, start=1):
        x = _x(plot, min(when_s, plot.t_s[-1]))
        row = 1 - row if x - before < CLOSE else 0
        words = _text(x, top - 1.4 - 3.2 * row, str(number), 'text-anchor="middle" font-weight="700"')
        parts += [_line(x, top, f"V{bottom:.2f}"), words]
        before = x
    return "".join(parts)


def _times(plot: RecordPlot, y: float) -> str:
    step = next(step for step in (10, 20, 60, 120, 300, 600, 1200, 3600) if plot.t_s[-1] / step <= 12)
    return "".join(_text(_x(plot, at), y, f"{at} s", 'text-anchor="middle"') for at in range(0, int(plot.t_s[-1]) + 1, step))


def _channel(plot: RecordPlot, channel: PlotChannel, top: float) -> str:
    shown = [value for value in (*channel.recorded, *channel.simulated) if isfinite(value)]
    low = floor(min(shown) + TRACE)
    high = max(ceil(max(shown) - TRACE), low + 1)
    parts = [_scale(top, low, high)]
    place, _, where = channel.name.partition(", ")
    parts += [_text(0, top + 3.4, place, 'font-weight="800"', 3.2), _text(0, top + 7, where), _text(0, top + 10.4, plot.unit)]

    def y(value: float) -> float:
        return top + HIGH * (high - value) / (high - low)

    # Recorded is a pipe of two thin lines, reckoned a broken line: where both agree it runs inside.
    parts += [_curve(plot, channel.recorded, y, RECORDED), _curve(plot, channel.recorded, y, INSIDE, ink="ground")]
    parts.append(_curve(plot, channel.simulated, y, MODEL, DASH))
    return "".join(parts) + _difference(plot, channel, top + HIGH + UNDER)


def _scale(top: float, low: int, high: int) -> str:
    step = max(1, round((high - low) / 5))
    parts = []
    for mark in range(low, high + 1, step):
        y = top + HIGH * (high - mark) / (high - low)
        parts += [_line(LEFT, y, f"H{RIGHT:g}"), _text(LEFT - 1.2, y + 1, str(mark), 'text-anchor="end" font-weight="700"')]
    return "".join(parts)


def _difference(plot: RecordPlot, channel: PlotChannel, top: float) -> str:
    """Recorded less reckoned; between the thin lines lies what may be off."""
    off = [a - b for a, b in zip(channel.recorded, channel.simulated, strict=True)]
    most = max([LEAST_OFF, *(abs(value) for value in off if isfinite(value))])
    middle, half = top + (OFF_HIGH - UNDER) / 2, (OFF_HIGH - UNDER) / 2

    def y(value: float) -> float:
        return middle - half * max(-1.0, min(1.0, value / most))

    parts = [_line(LEFT, middle, f"H{RIGHT:g}", HAIR * 2, "ink")]
    parts += [_text(LEFT - 1.2, y(most) + 1.6, f"{most:.2f}", 'text-anchor="end"'), _text(0, middle + 1, "difference")]
    for side in (1, -1):
        parts.append(_curve(plot, [side * value for value in channel.may_be_off], y, HAIR * 1.5))
    parts.append(_curve(plot, off, y, MODEL))
    return "".join(parts)


def _curve(
    plot: RecordPlot, values: Sequence[float], y: Callable[[float], float], width: float, dash: str = "", ink: Ink = "ink"
) -> str:
    """A line, broken at gaps."""
    pieces: list[list[tuple[float, float]]] = [[]]
    for t_s, value in zip(plot.t_s, values, strict=True):
        if isfinite(value):
            pieces[-1].append((_x(plot, t_s), y(value)))
        elif pieces[-1]:
            pieces.append([])
    path = "".join("M" + "L".join(f"{x:.2f} {h:.2f}" for x, h in thinned(piece)) for piece in pieces if len(piece) > 1)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    how = f'fill="none" stroke="{PRINT[ink]}" stroke-width="{width:g}" stroke-linejoin="round"'
    return f'<path d="{path}" {how}{dashed}/>'
