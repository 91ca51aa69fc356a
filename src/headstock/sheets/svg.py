"""Marks and train drawings as SVG, in the print palette; each pipe has its own line pattern, so one ink is enough."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape

from headstock.devices.marks import Disc, Ink, Lettering, Mark, Trace, Weight
from headstock.sheets.content import TrainDrawing, VehicleDrawing
from headstock.sheets.role_shapes import role_shape

PRINT: dict[Ink, str] = {
    "ink": "#17140f", "soft": "#564e41", "rule": "#9c917b", "ground": "#ffffff", "plate": "#ece5d6",
    "brake_pipe": "#b0261a", "main_reservoir_pipe": "#7d6000", "electrical": "#1c5280", "none": "none",
}  # fmt: skip
WEIGHTS_MM: dict[Weight, float] = {"hairline": 11, "mark": 23, "frame": 36, "rail": 42, "headstock": 58}
"""Line weights on an end drawing, in millimetres of the real end."""
WIDTH_MM, TOP_MM = 3000.0, 1960.0
FONT = "Atkinson Hyperlegible Next"
WIDTH, GAP, RAIL = 734, 20.0, 46.0
"""The train drawing: width, gap between portions, height of the rail's middle from its top."""
STRING_GAP, FIRST_STRING = 23.0, 15.0
"""Between the strings of two roles, and before the first."""
ARROWS = 4
"""The most arrows drawn in one block."""
RINGS = {"D": 13.4, "S": 12.0, "G": 14.4, "Y": 13.2}
"""Radius of the ring in charge, clear of each letter's figure."""


def end_svg(marks: Iterable[Mark]) -> str:
    """One end, x to the viewer's right, y up from the rail."""
    body = marks_svg(marks)
    frame = f"{-WIDTH_MM / 2:g} {-TOP_MM:g} {WIDTH_MM:g} {TOP_MM + 20:g}"
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{frame}">{body}</svg>'


def marks_svg(marks: Iterable[Mark], paint: Mapping[Ink, str] = PRINT) -> str:
    """Marks alone, in the colours of ``paint``, for a drawing in millimetres of the real end."""
    return "".join(_drawn(mark, paint) for mark in marks)


def mark_svg(mark: Mark) -> str:
    """One mark, in the millimetres of the real end, y down."""
    return _drawn(mark, PRINT)


def _drawn(mark: Mark, paint: Mapping[Ink, str]) -> str:
    if isinstance(mark, Trace):
        return _trace(mark, paint)
    if isinstance(mark, Disc):
        return (
            f'<circle cx="{mark.x_mm:.0f}" cy="{-mark.y_mm:.0f}" r="{mark.radius_mm:.0f}" fill="{paint[mark.fill]}" '
            f'stroke="{paint[mark.ink]}" stroke-width="{WEIGHTS_MM[mark.weight]:g}"/>'
        )
    return _lettering(mark, paint)


def _lettering(mark: Lettering, paint: Mapping[Ink, str]) -> str:
    return (
        f'<text x="{mark.x_mm:.0f}" y="{-mark.y_mm:.0f}" text-anchor="middle" font-family="{FONT}" font-weight="700" '
        f'font-size="{mark.height_mm:g}" fill="{paint[mark.ink]}">{escape(mark.text)}</text>'
    )


def _trace(mark: Trace, paint: Mapping[Ink, str]) -> str:
    points = " ".join(f"{x:.0f},{-y:.0f}" for x, y in mark.points_mm)
    weight = WEIGHTS_MM[mark.weight]
    if mark.ink == "main_reservoir_pipe" and not mark.closed:
        # Two lines: a broad one with the paper showing through its middle.
        return _poly(points, mark, weight * 1.9, paint) + _poly(points, mark, weight * 0.7, paint, paint["ground"])
    return _poly(points, mark, weight, paint)


def _poly(points: str, mark: Trace, weight: float, paint: Mapping[Ink, str], colour: str = "") -> str:
    tag = "polygon" if mark.closed else "polyline"
    dash = ' stroke-dasharray="95 55"' if mark.dashed else ""
    return (
        f'<{tag} points="{points}" fill="{paint[mark.fill]}" stroke="{colour or paint[mark.ink]}" stroke-width="{weight:g}" '
        f'stroke-linejoin="round"{dash}/>'
    )


def train_svg(train: TrainDrawing) -> str:
    """The train from the side on its one rail, the wedge under it thick at the high end; 734 units wide."""
    rails = ((RAIL, 3), (RAIL + 5, 1.2))
    parts = [f'<path d="M0 {y}H{WIDTH}" stroke="{PRINT["ink"]}" stroke-width="{thick}"/>' for y, thick in rails]
    if train.high_end:
        thin, thick = RAIL + 7.5, RAIL + 15.5
        corner = f"0 {thick}" if train.high_end == "left" else f"{WIDTH} {thick}"
        parts.append(f'<path d="M0 {thin} L{WIDTH} {thin} L{corner}z" fill="{PRINT["soft"]}"/>')
    columns = zip(train.portions, _spans(train), train.has_main_reservoir_pipe, strict=True)
    for portion, (start, end), two_pipe in columns:
        scale, at = (end - start) / sum(vehicle.length_m for vehicle in portion), start
        for vehicle in portion:
            parts.append(_vehicle(vehicle, at, vehicle.length_m * scale))
            at += vehicle.length_m * scale
        parts.append(_pipes(start, end, two_pipe))
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {RAIL + 16.5}">{"".join(parts)}</svg>'


def _spans(train: TrainDrawing) -> list[tuple[float, float]]:
    """Where each portion begins and ends on the drawing."""
    lengths = [sum(vehicle.length_m for vehicle in portion) for portion in train.portions]
    scale = (WIDTH - 4 - GAP * (len(lengths) - 1)) / sum(lengths)
    spans, at = [], 2.0
    for length in lengths:
        spans.append((at, at + length * scale))
        at += length * scale + GAP
    return spans


def joint_share(train: TrainDrawing) -> float:
    """Where the first gap between portions lies, as a share of the drawing's width (the middle where there is none)."""
    spans = _spans(train)
    return (spans[0][1] + GAP / 2) / WIDTH if len(spans) > 1 else 0.5


def _pipes(start: float, end: float, two_pipe: bool) -> str:
    """Main reservoir pipe in two fine lines above, brake pipe in one stout line below."""
    red = f'<path d="M{start:.1f} 36.4H{end:.1f}" stroke="{PRINT["brake_pipe"]}" stroke-width="2.6"/>'
    if not two_pipe:
        return red
    yellow = PRINT["main_reservoir_pipe"]
    return red + "".join(
        f'<line x1="{start:.1f}" y1="{y}" x2="{end:.1f}" y2="{y}" stroke="{yellow}" stroke-width="1"/>' for y in (30.4, 32.8)
    )


def _vehicle(vehicle: VehicleDrawing, at: float, wide: float) -> str:
    """Box with a stout sole, cab ends with a cut corner; in a long train number and disc give way to the width."""
    left, right, ink = at + 0.9, at + wide - 0.9, PRINT["ink"]
    a = f"M{left:.1f} 26 L{left:.1f} 11 L{left + 7:.1f} 4" if vehicle.cab_left else f"M{left:.1f} 26 L{left:.1f} 4"
    b = f"L{right - 7:.1f} 4 L{right:.1f} 11 L{right:.1f} 26z" if vehicle.cab_right else f"L{right:.1f} 4 L{right:.1f} 26z"
    body = (f'<path d="{a} {b}" fill="#fff" stroke="{ink}" stroke-width="1.6"/>'
            f'<path d="M{at:.1f} 26.2H{at + wide:.1f}" stroke="{ink}" stroke-width="2.8"/>')  # fmt: skip
    radius, roomy = min(6.0, wide * 0.11), wide > 80
    room = wide - (2.6 * radius + 6 if vehicle.hold else 6)
    size = min(12.0, room / (0.68 * max(len(vehicle.number), 1)))
    middle = at + wide / 2 if roomy or not vehicle.hold else at + 3 + room / 2
    name = (f'<text x="{middle:.1f}" y="{15 + size * 0.36:.1f}" text-anchor="middle" font-family="B612" font-weight="700" '
            f'font-size="{size:.1f}" fill="{ink}">{escape(vehicle.number)}</text>')  # fmt: skip
    blocks = "".join(_block(at + share * wide, vehicle.brake_on) for share in (0.22, 0.78))
    disc = _hold(vehicle, right - 1.3 * radius - (4 if roomy else 0), radius) if vehicle.hold else ""
    return body + name + blocks + disc


def _hold(vehicle: VehicleDrawing, x: float, radius: float) -> str:
    """The brake that holds: a filled disc where it is on as found, a ring where it is put on for the job."""
    ink, letter = PRINT["ink"], vehicle.hold
    fill, text = (ink, "#fff") if vehicle.hold_on else ("#fff", ink)
    return (f'<circle cx="{x:.1f}" cy="15" r="{radius:.1f}" fill="{fill}" stroke="{ink}" stroke-width="1.2"/><text x="{x:.1f}" '
            f'y="{15 + radius * 0.53:.1f}" text-anchor="middle" font-family="{FONT}" font-weight="800" '
            f'font-size="{radius * 1.5:.1f}" fill="{text}">{letter}</text>')  # fmt: skip


def _block(x: float, brake_on: bool) -> str:
    """A brake block: on the rail and filled when on, lifted and in outline when off."""
    ink = PRINT["ink"]
    if brake_on:
        return f'<rect x="{x - 4.5:.1f}" y="{RAIL - 6.2}" width="9" height="5.4" fill="{ink}"/>'
    return f'<rect x="{x - 4.5:.1f}" y="{RAIL - 8.6}" width="9" height="5.2" fill="#fff" stroke="{ink}" stroke-width="1.2"/>'


def roles_width(roles: int) -> float:
    """Width of the strings of so many roles, in units of their drawing."""
    return FIRST_STRING * 2 + STRING_GAP * (roles - 1)


def roles_height(arrows: int) -> float:
    """Height of the roles of a block with so many arrows, in units of their drawing."""
    return 32.0 + 8.0 * min(arrows, ARROWS)


def role_svg(marks: Iterable[tuple[str, str, bool]], arrows: Sequence[tuple[str, str]], order: Sequence[str]) -> str:
    """Roles on their strings: (letter, "acts" or "hears", in charge) and words as arrows from string to string."""
    at = {letter: FIRST_STRING + STRING_GAP * place for place, letter in enumerate(order)}
    parts = [_role(letter, at[letter], how == "acts", charge) for letter, how, charge in marks]
    parts += [_arrow(at[speaker], at[hearer], 37.0 + 8.0 * row) for row, (speaker, hearer) in enumerate(arrows[:ARROWS])]
    wide, high = roles_width(len(order)), roles_height(len(arrows))
    frame = f'viewBox="0 0 {wide:g} {high:g}" width="{wide:g}" height="{high:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {frame}>{"".join(parts)}</svg>'


def _role(letter: str, x: float, acts: bool, in_charge: bool) -> str:
    ink = PRINT["ink"]
    fill, text = (ink, "#fff") if acts else ("#fff", ink)
    figure = role_shape(letter, x, 16, f'fill="{fill}" stroke="{ink}" stroke-width="2"')
    ring = f'<circle cx="{x}" cy="16" r="{RINGS[letter]}" fill="none" stroke="{ink}" stroke-width="1.8"/>' if in_charge else ""
    size, y = (8, 22) if letter == "G" else (9.6, 19.4)
    return (f'{figure}{ring}<text x="{x}" y="{y}" text-anchor="middle" font-family="{FONT}" font-weight="800" '
            f'font-size="{size}" fill="{text}">{letter}</text>')  # fmt: skip


def _arrow(start: float, end: float, y: float) -> str:
    ink, way = PRINT["ink"], (1 if end > start else -1)
    tip = end - way * 2
    return (f'<circle cx="{start}" cy="{y}" r="2.4" fill="{ink}"/><line x1="{start}" y1="{y}" x2="{tip - way * 7}" y2="{y}" '
            f'stroke="{ink}" stroke-width="1.8"/><path d="M{tip - way * 8} {y - 4}L{tip} {y}L{tip - way * 8} {y + 4}z" '
            f'fill="{ink}"/>')  # fmt: skip
