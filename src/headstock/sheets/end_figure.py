"""One end as one stands in front of it, every part named on a line that leads to it; in any colours, for pages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from headstock.devices.kind import At
from headstock.devices.marks import Disc, Ink, Lettering, Mark
from headstock.devices.registry import kind_of
from headstock.formation.end_drawing import body_marks, device_marks
from headstock.formation.ends_to_join import devices_of, stands_as_left
from headstock.formation.join_way import TypeEnd
from headstock.sheets.labels_apart import laid_apart
from headstock.sheets.svg import FONT, marks_svg
from headstock.usecases.job_stands import state_words

HALF_MM, TOP_MM, LOW_MM = 1560.0, 1960.0, 40.0
"""The drawing itself: half its width, its height, and what is seen below the rail."""
NAMES_MM, PITCH_MM, TEXT_MM = 1560.0, 205.0, 92.0
"""Room for names at either side, from one name to the next, height of their letters."""
NUMBER_MM, NUMBER_PITCH_MM = 190.0, 230.0
"""Numbers instead of names, where the figure is small: height of the figures, from one to the next."""

OF_EVERY_END = (("headstock", 1240.0, 1050.0), ("steps", 1240.0, 620.0))
"""What is drawn with the body, and where."""


@dataclass(frozen=True, slots=True)
class NamedPart:
    """A device of an end: number, name and state in words, its marks; ``x_mm`` and ``y_mm``: where its line leads."""

    number: int
    name: str
    stands: str
    marks: tuple[Mark, ...]
    x_mm: float
    y_mm: float


def named_parts(end: TypeEnd) -> tuple[NamedPart, ...]:
    """The devices of an end that are seen from in front, as the unit is left, from the top down."""
    state = stands_as_left(end)
    devices = devices_of(end)
    drawn = [(at, marks, *_middle(marks)) for at, marks in device_marks(devices, state) if marks]
    found = [(at.name.replace("_", " "), _stands(at, devices[at], state), marks, x_mm, y_mm) for at, marks, x_mm, y_mm in drawn]
    found += [(name, "", (), x_mm, y_mm) for name, x_mm, y_mm in OF_EVERY_END]
    found.sort(key=lambda one: (-round(one[4] / 100), one[3]))
    return tuple(NamedPart(number, *one) for number, one in enumerate(found, start=1))


def end_figure(end: TypeEnd, paint: Mapping[Ink, str], has_names: bool) -> str:
    """The figure as SVG; ``has_names``: names beside it, else numbers that a list explains."""
    parts = named_parts(end)
    half = HALF_MM + (NAMES_MM if has_names else NUMBER_MM * 1.6)
    drawn = "".join(_part(part, paint) for part in parts if part.marks)
    left = [part for part in parts if part.x_mm < 0 or (part.x_mm == 0 and part.number % 2)]
    right = [part for part in parts if part not in left]
    lines = "".join(_labels(side, some, paint, has_names) for side, some in ((-1, left), (1, right)))
    view = f"{-half:g} {-TOP_MM:g} {2 * half:g} {TOP_MM + LOW_MM:g}"
    title = escape(f"{end.name} as one stands in front of it")
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" role="group" aria-label="{title}">'
            f"{marks_svg(body_marks(), paint)}{drawn}{lines}</svg>")  # fmt: skip


def coupler_icon(end: TypeEnd, paint: Mapping[Ink, str]) -> str:
    """The coupler alone, small, for the head of a column."""
    marks = [mark for at, found in device_marks(devices_of(end), stands_as_left(end)) if at.name == "coupler" for mark in found]
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-420 -1420 840 860" aria-hidden="true">'
            f"{marks_svg(marks, paint)}</svg>")  # fmt: skip


def _part(part: NamedPart, paint: Mapping[Ink, str]) -> str:
    said = escape(f"{part.number} {part.name}{f', {part.stands}' if part.stands else ''}")
    return f'<g role="img" tabindex="0" aria-label="{said}">{marks_svg(part.marks, paint)}</g>'


def _labels(side: int, parts: Sequence[NamedPart], paint: Mapping[Ink, str], has_names: bool) -> str:
    """Names from the top down along one side, none over another, each with its line."""
    pitch = PITCH_MM if has_names else NUMBER_PITCH_MM
    tops = laid_apart([part.y_mm for part in parts], [pitch] * len(parts), TOP_MM)
    return "".join(_label(side, part, top - pitch / 2, paint, has_names) for part, top in zip(parts, tops, strict=True))


def _label(side: int, part: NamedPart, y: float, paint: Mapping[Ink, str], has_names: bool) -> str:
    x, anchor = side * (HALF_MM + 20), "start" if side > 0 else "end"
    line = (f'<path d="M{part.x_mm:.0f} {-part.y_mm:.0f}L{side * HALF_MM:.0f} {-y:.0f}" fill="none" stroke="{paint["soft"]}" '
            f'stroke-width="9"/><circle cx="{part.x_mm:.0f}" cy="{-part.y_mm:.0f}" r="20" fill="{paint["soft"]}"/>')  # fmt: skip
    if not has_names:
        return line + _text(x, -y + NUMBER_MM * 0.36, str(part.number), anchor, NUMBER_MM, 700, paint["ink"])
    named = _text(x, -y + (0 if part.stands else 30), f"{part.number} {part.name}", anchor, TEXT_MM, 700, paint["ink"])
    return line + named + (_text(x, -y + TEXT_MM, part.stands, anchor, TEXT_MM * 0.86, 400, paint["soft"]) if part.stands else "")


def _text(x: float, y: float, words: str, anchor: str, high: float, weight: int, colour: str) -> str:
    return (f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="{anchor}" font-family="{FONT}" font-size="{high:.0f}" '
            f'font-weight="{weight}" fill="{colour}" aria-hidden="true">{escape(words)}</text>')  # fmt: skip


def _stands(at: At, spec: Any, state: Mapping[str, str]) -> str:
    """How it stands as left, in the words of a job's page; of several names the last word is enough beside a figure."""
    own = kind_of(spec).variables(at, spec)
    if len(own) == 1:
        return state_words(own[0], state[own[0].key], at, False)
    names = [one.label.removesuffix(f" of {at.where}") for one in own]
    said = [state_words(one, state[one.key], at, True) for one in own]
    return ", ".join(words.replace(name, name.split()[-1]) for words, name in zip(said, names, strict=True))


def _middle(marks: Sequence[Mark]) -> tuple[float, float]:
    """A point of the first mark to lead a line to; of a pair at both sides that at the viewer's left."""
    if not marks:
        return 0.0, 0.0
    first = marks[0]
    if isinstance(first, Disc | Lettering):
        return first.x_mm, first.y_mm
    xs, ys = zip(*first.points_mm, strict=True)
    if first.closed:
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return first.points_mm[len(first.points_mm) // 2]
