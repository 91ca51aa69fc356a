"""Bars of shares under columns, a long one is bad; a thin line goes from the least to the most of what it is the mean of."""

from __future__ import annotations

from headstock.sheets.study_marks import HAIR, LETTER, LETTER_EM, WIDTH, block, cut, line, words, wrapped
from headstock.usecases.study_drawings import Bar, BarRow, Bars

LABEL, GAP, FIGURE, ROW, HIGH = 58.0, 5.0, 13.5, 4.6, 2.5
LEAST_LABEL, LEAST_COLUMN = 30.0, 40.0
HEAD_LINE, GROUP, AXIS = 3.6, 6.2, 3.6
EDGE, GROUP_LETTER = 0.4, 3.2


def bars_drawn(bars: Bars, top: float) -> tuple[str, float]:
    """The drawing from ``top`` down, and where it ends."""
    label = _label(bars)
    wide = (WIDTH - label) / len(bars.columns) - GAP
    heads = [wrapped(name, wide) for name in bars.columns]
    first = top + HEAD_LINE * max(len(head) for head in heads) + AXIS
    parts, y = [], first
    group = ""
    for row in bars.rows:
        if row.group != group:
            group = row.group
            y += GROUP
            # On white, so that no line of the columns runs through it.
            parts.append(block(0, y - GROUP + 0.9, LETTER_EM * GROUP_LETTER * (len(group) + 6), GROUP - 1.4, "ground"))
            parts.append(words(0, y - 1.9, cut(group, WIDTH), 'font-weight="800"', GROUP_LETTER))
        parts.append(_row(row, y, label, wide))
        y += ROW
    parts = [_columns(heads, top, first, y, label, wide), *parts]
    return "".join(parts), y


def _label(bars: Bars) -> float:
    """Room for the longest label, as far as the columns leave it."""
    longest = max((len(row.label) for row in bars.rows), default=0) * LETTER_EM * LETTER + 4
    most = max(LABEL, WIDTH - (LEAST_COLUMN + GAP) * len(bars.columns))
    return min(max(longest, LEAST_LABEL), most)


def _left(column: int, label: float, wide: float) -> float:
    return label + column * (wide + GAP)


def _columns(heads: list[list[str]], top: float, first: float, bottom: float, label: float, wide: float) -> str:
    """Names of the columns, and lines at none, half and all."""
    parts = []
    for column, head in enumerate(heads):
        left, scale = _left(column, label, wide), wide - FIGURE
        below = first - AXIS - HEAD_LINE * (len(head) - 1)
        parts += [words(left, below + HEAD_LINE * row - 0.6, said, 'font-weight="700"') for row, said in enumerate(head)]
        for share in (0.0, 0.5, 1.0):
            x = left + scale * share
            parts += [line(x, first - 0.4, f"V{bottom:.2f}"),
                      words(x, first - 1.2, f"{share:.0%}", 'text-anchor="middle"', 2.5, "soft")]  # fmt: skip
    return "".join(parts)


def _row(row: BarRow, y: float, label: float, wide: float) -> str:
    parts = [words(0, y + HIGH + 0.7, cut(row.label, label - 2))]
    for column, bar in enumerate(row.bars):
        if bar is not None:
            parts.append(_bar(bar, _left(column, label, wide), y + 0.7, wide - FIGURE))
            right = _left(column, label, wide) + wide
            parts.append(words(right, y + HIGH + 0.7, bar.text, 'text-anchor="end"', LETTER))
    return "".join(parts)


def _bar(bar: Bar, left: float, top: float, scale: float) -> str:
    # What is none draws nothing; what is little is still seen.
    parts = [block(left, top, max(scale * bar.share, EDGE), HIGH, "rule")] if bar.share > 0 else []
    if bar.low is not None and bar.high is not None and bar.high > bar.low:
        middle, ends = top + HIGH / 2, (left + scale * bar.low, left + scale * bar.high)
        parts.append(line(ends[0], middle, f"H{ends[1]:.2f}", HAIR * 3, "ink"))
        parts += [line(x, middle - 0.9, f"V{middle + 0.9:.2f}", HAIR * 3, "ink") for x in ends]
    return "".join(parts)
