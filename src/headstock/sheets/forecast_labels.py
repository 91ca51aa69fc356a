"""Where the labels of lines go: on their own line, where the others are farthest and nothing else is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

FAR_ENOUGH_MM = 3.0
"""Beyond this distance from other lines a place is no better."""
SLOPE_COST = 1.5
CLEAR_MM = 0.5
BESIDE_MM = 1.5


@dataclass(frozen=True, slots=True)
class Box:
    """A place on the drawing [mm], y downward."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box, clear: float = 0.0) -> bool:
        """Whether two boxes overlap or come nearer than ``clear``."""
        return (
            self.left < other.right + clear and other.left < self.right + clear
            and self.top < other.bottom + clear and other.top < self.bottom + clear
        )  # fmt: skip

    def holds(self, other: Box) -> bool:
        """Whether another box lies wholly inside."""
        return (self.left <= other.left and other.right <= self.right
                and self.top <= other.top and other.bottom <= self.bottom)  # fmt: skip


def boxed(x: float, y: float, wide: float, high: float) -> Box:
    """A box about its middle."""
    return Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


def place_labels(
    at_x: Sequence[float],
    heights: Sequence[Sequence[float]],
    sizes: Sequence[tuple[float, float]],
    taken: Sequence[Box],
    room: Box,
) -> list[Box]:
    """A box for each line, given every line's height at the same evenly spaced x; boxes do not meet where it can be helped."""
    placed: list[Box] = []
    for own, size in zip(heights, sizes, strict=True):
        others = [line for line in heights if line is not own]
        best, best_score = boxed(at_x[len(at_x) // 2], own[len(at_x) // 2], *size), -1e9
        for place, x in enumerate(at_x):
            box = boxed(x, own[place], *size)
            if not room.holds(box):
                continue
            score = _clearance(at_x, own, others, place, size)
            score -= 100.0 * sum(box.meets(other, CLEAR_MM) for other in (*taken, *placed))
            if score > best_score + 1e-9:
                best, best_score = box, score
        placed.append(best)
    return placed


def _clearance(
    at_x: Sequence[float], own: Sequence[float], others: Sequence[Sequence[float]], place: int, size: tuple[float, float]
) -> float:
    """How far other lines stay from a label at a place [mm]; a steep piece of its own line counts against it."""
    step = at_x[1] - at_x[0]
    reach = int((size[0] / 2 + BESIDE_MM) / step) + 1
    near = range(max(0, place - reach), min(len(at_x), place + reach + 1))
    y = own[place]
    gap = min((abs(line[at] - y) for line in others for at in near), default=FAR_ENOUGH_MM) - size[1] / 2
    slope = max(own[at] for at in near) - min(own[at] for at in near)
    return min(gap, FAR_ENOUGH_MM) - SLOPE_COST * slope
