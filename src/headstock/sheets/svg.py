"""Marks and train drawings as SVG, in the print palette; each pipe has its own line pattern, so one ink is enough."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from headstock.devices.marks import Disc, Ink, Lettering, Mark, Trace, Weight
from headstock.sheets.content import TrainDrawing, VehicleDrawing

PRINT: dict[Ink, str] = {
    "ink": "#17140f", "soft": "#564e41", "rule": "#9c917b", "ground": "#ffffff", "plate": "#ece5d6",
    "brake_pipe": "#b0261a", "main_reservoir_pipe": "#7d6000", "electrical": "#1c5280", "none": "none",
}  # fmt: skip
WEIGHTS_MM: dict[Weight, float] = {"hairline": 11, "mark": 23, "frame": 36, "rail": 42, "headstock": 58}
"""Line weights on an end drawing, in millimetres of the real end."""
WIDTH_MM, TOP_MM = 3000.0, 1960.0
FONT = "Atkinson Hyperlegible Next"


def end_svg(marks: Iterable[Mark]) -> str:
    """One end, x to the viewer's right, y up from the rail."""
    body = "".join(_drawn(mark) for mark in marks)
    frame = f"{-WIDTH_MM / 2:g} {-TOP_MM:g} {WIDTH_MM:g} {TOP_MM + 20:g}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{frame}">{body}</svg>'


def _drawn(mark: Mark) -> str:
    if isinstance(mark, Trace):
        return _trace(mark)
    if isinstance(mark, Disc):
        return (
            f'<circle cx="{mark.x_mm:.0f}" cy="{-mark.y_mm:.0f}" r="{mark.radius_mm:.0f}" fill="{PRINT[mark.fill]}" '
            f'stroke="{PRINT[mark.ink]}" stroke-width="{WEIGHTS_MM[mark.weight]:g}"/>'
        )
    return _lettering(mark)


def _lettering(mark: Lettering) -> str:
    return (
        f'<text x="{mark.x_mm:.0f}" y="{-mark.y_mm:.0f}" text-anchor="middle" font-family="{FONT}" font-weight="700" '
        f'font-size="{mark.height_mm:g}" fill="{PRINT[mark.ink]}">{escape(mark.text)}</text>'
    )


def _trace(mark: Trace) -> str:
    points = " ".join(f"{x:.0f},{-y:.0f}" for x, y in mark.points_mm)
    weight = WEIGHTS_MM[mark.weight]
    if mark.ink == "main_reservoir_pipe" and not mark.closed:
        # Two lines: a broad one with the paper showing through its middle.
        return _poly(points, mark, weight * 1.9, PRINT[mark.ink]) + _poly(points, mark, weight * 0.7, PRINT["ground"])
    return _poly(points, mark, weight, PRINT[mark.ink])


def _poly(points: str, mark: Trace, weight: float, colour: str) -> str:
    tag = "polygon" if mark.closed else "polyline"
    dash = ' stroke-dasharray="95 55"' if mark.dashed else ""
    return (
        f'<{tag} points="{points}" fill="{PRINT[mark.fill]}" stroke="{colour}" stroke-width="{weight:g}" '
        f'stroke-linejoin="round"{dash}/>'
    )


def train_svg(train: TrainDrawing) -> str:
    """The train from the side on its one rail, the wedge under it thick at the high end; 734 units wide."""
    width, gap = 734.0, 20.0
    vehicles = [vehicle for portion in train.portions for vehicle in portion]
    scale = (width - 4 - gap * (len(train.portions) - 1)) / sum(vehicle.length_m for vehicle in vehicles)
    parts = [f'<line x1="0" y1="41.5" x2="{width}" y2="41.5" stroke="{PRINT["ink"]}" stroke-width="3"/>',
             f'<line x1="0" y1="47" x2="{width}" y2="47" stroke="{PRINT["ink"]}" stroke-width="1.2"/>']  # fmt: skip
    if train.high_end:
        thick = "0 50 L734 50 L0 57" if train.high_end == "left" else "0 50 L734 50 L734 57"
        parts.append(f'<path d="M{thick}z" fill="{PRINT["soft"]}"/>')
    at = 2.0
    for portion, two_pipe in zip(train.portions, train.has_main_reservoir_pipe, strict=True):
        start = at
        for vehicle in portion:
            parts.append(_vehicle(vehicle, at, vehicle.length_m * scale))
            at += vehicle.length_m * scale
        parts.append(_pipes(start, at, two_pipe))
        at += gap
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 734 58">{"".join(parts)}</svg>'


def _pipes(start: float, end: float, two_pipe: bool) -> str:
    red = f'<line x1="{start:.1f}" y1="32.5" x2="{end:.1f}" y2="32.5" stroke="{PRINT["brake_pipe"]}" stroke-width="2.4"/>'
    if not two_pipe:
        return red
    yellow = PRINT["main_reservoir_pipe"]
    return red + "".join(
        f'<line x1="{start:.1f}" y1="{y}" x2="{end:.1f}" y2="{y}" stroke="{yellow}" stroke-width="0.9"/>' for y in (28.6, 30.1)
    )


def _vehicle(vehicle: VehicleDrawing, at: float, wide: float) -> str:
    left, right, ink = at + 0.8, at + wide - 0.8, PRINT["ink"]
    a = f"M{left:.1f} 27 L{left:.1f} 12 L{left + 7:.1f} 5" if vehicle.cab_left else f"M{left:.1f} 27 L{left:.1f} 5"
    b = f"L{right - 7:.1f} 5 L{right:.1f} 12 L{right:.1f} 27z" if vehicle.cab_right else f"L{right:.1f} 5 L{right:.1f} 27z"
    body = f'<path d="{a} {b}" fill="#fff" stroke="{ink}" stroke-width="1.6"/>'
    name = (f'<text x="{at + wide / 2:.1f}" y="21" text-anchor="middle" font-family="B612" font-weight="700" '
            f'font-size="12" fill="{ink}">{escape(vehicle.number)}</text>')  # fmt: skip
    blocks = "".join(_block(at + share * wide, vehicle.brake_on) for share in (0.22, 0.78))
    if not vehicle.hold:
        return body + name + blocks
    x = right - 13
    disc = (f'<circle cx="{x:.1f}" cy="16" r="6" fill="{ink}"/><text x="{x:.1f}" y="19.5" text-anchor="middle" '
            f'font-family="{FONT}" font-weight="800" font-size="9" fill="#fff">{vehicle.hold}</text>')  # fmt: skip
    return body + name + blocks + disc


def _block(x: float, brake_on: bool) -> str:
    ink = PRINT["ink"]
    if brake_on:
        return f'<rect x="{x - 4.5:.1f}" y="35" width="9" height="5" fill="{ink}"/>'
    return f'<rect x="{x - 4.5:.1f}" y="33" width="9" height="5" fill="#fff" stroke="{ink}" stroke-width="1.2"/>'


def role_svg(marks: Iterable[tuple[str, str, bool]], arrows: Iterable[tuple[str, str]], order: list[str]) -> str:
    """Roles on their strings: (letter, "acts" or "hears", in charge) and words as arrows from string to string."""
    at = {letter: 12.0 + 23.0 * place for place, letter in enumerate(order)}
    parts = [_role(letter, at[letter], how == "acts", charge) for letter, how, charge in marks]
    y = 38.0
    for speaker, hearer in list(arrows)[:4]:
        parts.append(_arrow(at[speaker], at[hearer], y))
        y += 8.0
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 {y:.0f}" width="72" height="{y:.0f}">{"".join(parts)}</svg>'


def _role(letter: str, x: float, acts: bool, in_charge: bool) -> str:
    ink = PRINT["ink"]
    fill, text = (ink, "#fff") if acts else ("#fff", ink)
    stroke = f'fill="{fill}" stroke="{ink}" stroke-width="2"'
    figures = {
        "D": f'<rect x="{x - 8}" y="8" width="16" height="16" {stroke}/>',
        "S": f'<circle cx="{x}" cy="16" r="8.4" {stroke}/>',
        "G": f'<path d="M{x - 10} 24L{x + 10} 24L{x} 6.5z" {stroke}/>',
        "Y": f'<path d="M{x - 5} 7.5L{x + 5} 7.5L{x + 10} 16L{x + 5} 24.5L{x - 5} 24.5L{x - 10} 16z" {stroke}/>',
    }
    ring = f'<circle cx="{x}" cy="16" r="12" fill="none" stroke="{ink}" stroke-width="1.8"/>' if in_charge else ""
    size, y = (8, 22) if letter == "G" else (9.6, 19.4)
    return (f'{figures[letter]}{ring}<text x="{x}" y="{y}" text-anchor="middle" font-family="{FONT}" font-weight="800" '
            f'font-size="{size}" fill="{text}">{letter}</text>')  # fmt: skip


def _arrow(start: float, end: float, y: float) -> str:
    ink, way = PRINT["ink"], (1 if end > start else -1)
    tip = end - way * 2
    return (f'<circle cx="{start}" cy="{y}" r="2.4" fill="{ink}"/><line x1="{start}" y1="{y}" x2="{tip - way * 7}" y2="{y}" '
            f'stroke="{ink}" stroke-width="1.8"/><path d="M{tip - way * 8} {y - 4}L{tip} {y}L{tip - way * 8} {y + 4}z" '
            f'fill="{ink}"/>')  # fmt: skip
