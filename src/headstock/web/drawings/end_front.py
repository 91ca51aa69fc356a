"""An end as one stands in front of it, each part a link to what is said of it, names on leader lines beside the figure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from headstock.devices.marks import Disc, Lettering, Mark
from headstock.formation.end_drawing import body_marks, part_marks
from headstock.formation.train import UnitEnd
from headstock.sheets.labels_apart import laid_apart
from headstock.sheets.svg import mark_svg
from headstock.usecases.job_stands import JobStands, PartStands
from headstock.web.drawings.ink import link, on_page, path, svg, text

HALF_MM, HIGH_MM, FIGURE_MM = 2550.0, 2080.0, 1500.0
"""Half the width with names, the height, where the figure ends and the names begin."""
NAME_MM, SAID_MM, GAP_MM = 118.0, 104.0, 46.0
NAME_LETTERS, LETTERS = 15, 19
"""So many letters of a name, and of what is said, fit beside the figure."""


@dataclass(frozen=True, slots=True)
class _Label:
    """A part's name and state in lines, beside the point it belongs to."""

    part: PartStands
    x_mm: float
    y_mm: float
    name: tuple[str, ...]
    says: tuple[str, ...]

    @property
    def height_mm(self) -> float:
        return NAME_MM * len(self.name) + SAID_MM * len(self.says) + GAP_MM


def end_front(stands: JobStands, end: UnitEnd) -> str:
    """The end with its parts as told."""
    drawn = part_marks(dict(stands.train.end_devices(end)), stands.values)
    said = {part.at: part for part in stands.parts(end)}
    body = on_page("".join(mark_svg(mark) for mark in body_marks()))
    parts = [_part(said.get(at), marks) for at, marks in drawn]
    left, right = _sides([(said[at], marks) for at, marks in drawn if at in said])
    labels = [label for labels, side in ((left, -1), (right, 1)) for label in _labels(labels, side)]
    names = f'<g class="leaders" aria-hidden="true">{"".join(labels)}</g>'
    return svg(2 * HALF_MM, HIGH_MM, [f'<g class="body">{body}</g>', *parts, names],
               f"{end} as one stands in front of it", "end-front", top=-HIGH_MM + 40, left=-HALF_MM)  # fmt: skip


def _part(said: PartStands | None, marks: Sequence[Mark]) -> str:
    figure = on_page("".join(mark_svg(mark) for mark in marks))
    if said is None:
        return f'<g class="told">{figure}</g>'
    label = f"{said.name}: {said.says}, told"
    letters = [mark.text for mark in marks if isinstance(mark, Lettering) and mark.text not in re.findall(r"\w+", label)]
    return link(said.at.key(), f"{label}{', marked ' if letters else ''}{' '.join(letters)}", figure)


def _sides(parts: list[tuple[PartStands, Sequence[Mark]]]) -> tuple[list[_Label], list[_Label]]:
    """Labels to the left and to the right, so that each side has about as many."""
    sides: tuple[list[_Label], list[_Label]] = ([], [])
    for said, marks in sorted(parts, key=lambda one: abs(_middle(one[1])[0]), reverse=True):
        x, _ = _middle(marks)
        side = (0 if x < 0 else 1) if abs(x) > 150 else (0 if len(sides[0]) <= len(sides[1]) else 1)
        spots = [_middle([mark]) for mark in marks]
        spot = min(spots) if side == 0 else max(spots)
        sides[side].append(_Label(said, *spot, _wrapped(said.name.capitalize(), NAME_LETTERS), _wrapped(said.says, LETTERS)))
    return sides


def _middle(marks: Sequence[Mark]) -> tuple[float, float]:
    points = [point for mark in marks for point in _points(mark)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _points(mark: Mark) -> Sequence[tuple[float, float]]:
    return ((mark.x_mm, mark.y_mm),) if isinstance(mark, Disc | Lettering) else mark.points_mm


def _wrapped(words: str, letters: int) -> tuple[str, ...]:
    lines = [""]
    for word in words.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > letters:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return tuple(lines)


def _labels(labels: Sequence[_Label], side: int) -> list[str]:
    """From the top down, each near its part where there is room; a thin line leads to the part."""
    drawn = []
    labels = sorted(labels, key=lambda one: -one.y_mm)
    tops = laid_apart([label.y_mm for label in labels], [label.height_mm for label in labels], HIGH_MM - 90)
    for label, top in zip(labels, tops, strict=True):
        x, y = side * (FIGURE_MM + 40), top - NAME_MM
        anchor = "start" if side > 0 else "end"
        drawn.append(path(f"M{label.x_mm:.0f} {-label.y_mm:.0f}L{side * FIGURE_MM:.0f} {-(y + 40):.0f}", ink="soft", wide=9))
        drawn.append(f'<circle cx="{label.x_mm:.0f}" cy="{-label.y_mm:.0f}" r="24" fill="var(--ink)"/>')
        for line in label.name:
            drawn.append(text(x, -y, line, size=NAME_MM, anchor=anchor, bold=True))
            y -= NAME_MM
        for line in label.says:
            drawn.append(text(x, -y, line, size=SAID_MM, anchor=anchor, ink="soft"))
            y -= SAID_MM
    return drawn
