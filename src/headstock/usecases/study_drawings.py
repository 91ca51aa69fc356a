"""What a picture of a study shows, as plain values; how it is drawn is decided by whoever prints."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Bar:
    """A share, 0 to 1, with how it is said; ``low`` and ``high``: the least and the most of what it is the mean of."""

    share: float
    text: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class BarRow:
    """A line: its label and a bar for each column, None where there is nothing to say; ``group``: what it belongs to."""

    label: str
    bars: tuple[Bar | None, ...]
    group: str = ""


@dataclass(frozen=True, slots=True)
class Bars:
    """Lines of bars under the same columns; ``key``: how they are to be read; ``text``: the picture in words."""

    columns: tuple[str, ...]
    rows: tuple[BarRow, ...]
    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Curve:
    """One limit moved: (moved [bar], healthy failed, faults missed, both 0 to 1), from the least to the most moved."""

    group: str
    name: str
    points: tuple[tuple[float, float, float], ...]

    @property
    def moves(self) -> bool:
        """Whether moving it does anything."""
        return len({point[1:] for point in self.points}) > 1


@dataclass(frozen=True, slots=True)
class Curves:
    """Curves, those of a group side by side; ``across`` and ``up`` say what the two directions are."""

    curves: tuple[Curve, ...]
    across: str
    up: str
    key: str
    text: str


Drawing = Bars | Curves
MOST_COLUMNS, MOST_ROWS, MOST_CURVES = 4, 44, 20
"""What one picture has room for."""


def parted(bars: Bars) -> tuple[Bars, ...]:
    """The same in pictures that a page has room for."""
    return tuple(
        Bars(
            bars.columns[column : column + MOST_COLUMNS],
            tuple(
                BarRow(one.label, one.bars[column : column + MOST_COLUMNS], one.group)
                for one in bars.rows[row : row + MOST_ROWS]
            ),
            bars.key, bars.text,
        )
        for column in range(0, len(bars.columns), MOST_COLUMNS) for row in range(0, len(bars.rows), MOST_ROWS)
    )  # fmt: skip


def parted_curves(curves: Curves) -> tuple[Curves, ...]:
    """The same; curves that stay where they are are left to the words."""
    moved = [one for one in curves.curves if one.moves]
    return tuple(
        Curves(tuple(moved[first : first + MOST_CURVES]), curves.across, curves.up, curves.key, curves.text)
        for first in range(0, len(moved), MOST_CURVES)
    )
