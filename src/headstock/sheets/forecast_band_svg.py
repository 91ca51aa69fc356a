"""The band of a forecast on its drawing: hatched, since it is reckoned and not seen; in one ink it still reads."""

from __future__ import annotations

from headstock.sheets.forecast_content import ChartBand
from headstock.sheets.forecast_frame import Frame
from headstock.sheets.svg import PRINT

HATCH_MM, STROKE_MM, EDGE_MM = 1.1, 0.13, 0.2
"""Between strokes across, their thickness, that of the edges."""


def band_svg(frame: Frame, band: ChartBand, name: str) -> str:
    """Slanting strokes between the edges, which go in steps from mark to mark."""
    upper, lower = _steps(frame, band.t_s, band.highest), _steps(frame, band.t_s, band.lowest)
    outline = f"M{_path(upper)}L{_path(lower[::-1])}Z"
    first, last = frame.edges[0], frame.edges[-1]
    high = frame.bottom - frame.top
    count = int((last - first + high) / HATCH_MM) + 1
    strokes = "".join(
        f"M{first - high + number * HATCH_MM:.2f} {frame.bottom:.2f}l{high:.2f} {-high:.2f}" for number in range(count)
    )
    ink, clip = PRINT["ink"], f"band-{name}"
    return (
        f'<clipPath id="{clip}"><path d="{outline}"/></clipPath>'
        f'<path d="{strokes}" clip-path="url(#{clip})" fill="none" stroke="{ink}" stroke-width="{STROKE_MM:g}"/>'
        f'<path d="M{_path(upper)}M{_path(lower)}" fill="none" stroke="{ink}" stroke-width="{EDGE_MM:g}"/>'
    )


def _steps(frame: Frame, t_s: tuple[float, ...], row: tuple[float, ...]) -> list[tuple[float, float]]:
    """Corners of a line that goes in steps; only where it changes."""
    points = [(frame.x(t_s[0]), frame.y(row[0]))]
    for when_s, before, here in zip(t_s[1:], row, row[1:], strict=False):
        if here != before:
            x = frame.x(when_s)
            points += [(x, frame.y(before)), (x, frame.y(here))]
    return [*points, (frame.x(t_s[-1]), frame.y(row[-1]))]


def _path(points: list[tuple[float, float]]) -> str:
    return "L".join(f"{x:.2f} {y:.2f}" for x, y in points)
