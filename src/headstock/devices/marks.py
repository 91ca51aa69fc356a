"""Plain geometry of drawings: what a device looks like, without any idea of paper or screen.

Coordinates are millimetres on the real end, x to the viewer's right from the centre line, y up from the rail.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Ink = Literal["ink", "soft", "rule", "ground", "plate", "brake_pipe", "main_reservoir_pipe", "electrical", "none"]
Weight = Literal["hairline", "mark", "frame", "rail", "headstock"]


@dataclass(frozen=True, slots=True)
class Trace:
    """A line through points; closed and filled if asked."""

    points_mm: tuple[tuple[float, float], ...]
    ink: Ink = "ink"
    weight: Weight = "mark"
    closed: bool = False
    fill: Ink = "none"
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x_mm: float
    y_mm: float
    radius_mm: float
    ink: Ink = "ink"
    weight: Weight = "mark"
    fill: Ink = "none"


@dataclass(frozen=True, slots=True)
class Lettering:
    """A few letters on the figure itself (never a caption)."""

    x_mm: float
    y_mm: float
    text: str
    height_mm: float = 90.0
    ink: Ink = "ink"


Mark = Trace | Disc | Lettering
