"""Limits on the drawing of a forecast: heavy brackets open to the allowed side, their words where they cross least."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from headstock.sheets.forecast_content import ChartLimit
from headstock.sheets.forecast_frame import FIGURE_EM, LEFT, LETTER, SAME_MM, STEP, DrawnLine, Frame, letters_mm
from headstock.sheets.forecast_labels import Box

BAR_MM, LEG_MM, LONGEST_MM = 0.7, 1.8, 9.0
TWO_LINES_MM, ONE_LINE_MM = 6.0, 3.2
WORD_GAP_MM = 0.8
AWAY_MM, FARTHER_MM = 0.8, (0.0, 1.5, 3.0, 4.5)
"""From the limit to its words, and how much more where that helps."""
MOST_SAID = 3
"""With more brackets of one limit its words stand at the first alone: a later bracket would run through them."""


@dataclass(frozen=True, slots=True)
class Bracket:
    """A limit as drawn: the bar's ends, where it stands, and the box of its words (none where its like has them)."""

    limit: ChartLimit
    left: float
    right: float
    y: float
    words: Box | None

    @property
    def is_one_line(self) -> bool:
        """Whether figure and tail stand on one line."""
        return self.words is not None and self.words.bottom - self.words.top < (ONE_LINE_MM + TWO_LINES_MM) / 2

    @property
    def bar(self) -> Box:
        """The place that bar and legs take."""
        return Box(self.left, self.y - LEG_MM, self.right, self.y + LEG_MM)

    @property
    def boxes(self) -> tuple[Box, ...]:
        """All places that it takes."""
        return (self.bar, self.words) if self.words is not None else (self.bar,)


def brackets_of(frame: Frame, limits: Sequence[ChartLimit], lines: Sequence[DrawnLine], marks: Sequence[Box]) -> list[Bracket]:
    """A bracket at the end of each limit's column (a rise is watched through all of it); at one height one bracket only."""
    made: list[Bracket] = []
    for limit in limits:
        right, before = frame.edges[limit.stage + 1], frame.edges[limit.stage]
        left = before if limit.is_rise else right - min((right - before) * 0.75, LONGEST_MM)
        own: list[Bracket] = []
        for y in map(frame.y, limit.levels):
            if any(abs(y - bracket.y) < SAME_MM for bracket in own):
                continue
            others = [*marks, *(box for bracket in (*made, *own) for box in bracket.boxes)]
            words = _words_box(frame, limit, (before, right, y), lines, others)
            # The words of a rise need not stand at each of its brackets; where there is no room they stand at the first.
            crowded = len(limit.levels) > MOST_SAID or any(words.meets(other) for other in others)
            is_said = bool(own) and crowded
            own.append(Bracket(limit, left, right, y, None if is_said else words))
        made += own
    return made


def _words_box(
    frame: Frame, limit: ChartLimit, at: tuple[float, float, float], lines: Sequence[DrawnLine], others: Sequence[Box]
) -> Box:
    """Beyond the bar in two lines or one where that is free, else on the open side; along the column as suits best."""
    before, right, y = at
    boxes: list[Box] = []
    for farther, is_beyond, (wide, high) in product(FARTHER_MM, (True, False), _sizes(limit)):
        away = AWAY_MM + farther + (0.0 if is_beyond else LEG_MM)
        top = y - away - high if is_beyond == limit.at_most else y + away
        rights = (right, max(right - 2.0, before + wide), (before + right + wide) / 2, before + wide + 0.6)
        boxes += [Box(x - wide, top, x, top + high) for x in rights]
    inside = [box for box in boxes if frame.holds(box)] or boxes[:1]
    return min(inside, key=lambda box: (_crossings(box, lines) + 3 * sum(box.meets(other) for other in others), boxes.index(box)))


def _sizes(limit: ChartLimit) -> tuple[tuple[float, float], tuple[float, float]]:
    """Width and height of a limit's words in two lines, and in one."""
    figure, tail = FIGURE_EM * LETTER * len(limit.figure), letters_mm(limit.tail)
    return (max(figure, tail), TWO_LINES_MM), (figure + WORD_GAP_MM + tail, ONE_LINE_MM)


def _crossings(box: Box, lines: Sequence[DrawnLine]) -> int:
    """How many lines run through a box."""
    first, last = int((box.left - LEFT) / STEP), int((box.right - LEFT) / STEP) + 1
    return sum(any(box.top - 0.5 < y < box.bottom + 0.5 for y in line.heights[max(first, 0) : last + 1]) for line in lines)
