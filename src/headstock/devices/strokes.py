"""Small makers of marks: boxes, lines, sampled curves."""

from __future__ import annotations

from headstock.devices.marks import Ink, Trace, Weight

Point = tuple[float, float]


def line(*points: Point, ink: Ink = "ink", weight: Weight = "mark", dashed: bool = False) -> Trace:
    """A line through points [mm]."""
    return Trace(points, ink, weight, dashed=dashed)


def shape(*points: Point, ink: Ink = "ink", weight: Weight = "mark", fill: Ink = "ground") -> Trace:
    """A closed figure [mm]."""
    return Trace(points, ink, weight, closed=True, fill=fill)


def box(x_mm: float, y_mm: float, width_mm: float, height_mm: float, ink: Ink = "ink", weight: Weight = "mark",
        fill: Ink = "ground") -> Trace:  # fmt: skip
    """A box about a centre [mm]."""
    half, tall = width_mm / 2, height_mm / 2
    corners = (
        (x_mm - half, y_mm - tall),
        (x_mm + half, y_mm - tall),
        (x_mm + half, y_mm + tall),
        (x_mm - half, y_mm + tall),
    )
    return Trace(corners, ink, weight, closed=True, fill=fill)


def curve(start: Point, pull_out: Point, pull_in: Point, end: Point, ink: Ink = "ink", weight: Weight = "mark",
          dashed: bool = False) -> Trace:  # fmt: skip
    """A cubic curve, sampled [mm]."""
    points = []
    for step in range(17):
        t = step / 16
        parts = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        ways = (start, pull_out, pull_in, end)
        points.append((sum(a * p[0] for a, p in zip(parts, ways, strict=True)),
                       sum(a * p[1] for a, p in zip(parts, ways, strict=True))))  # fmt: skip
    return Trace(tuple(points), ink, weight, dashed=dashed)
