"""Curves of moved limits: what is missed against healthy trains failed, a small square for each limit."""

from __future__ import annotations

from itertools import groupby

from headstock.sheets.study_marks import HAIR, WIDTH, cut, line, words
from headstock.sheets.svg import PRINT
from headstock.usecases.study_drawings import Curve, Curves

LEFT, SIDE, GAP, HEAD, GROUP, FOOT, IN_A_ROW = 11.0, 28.0, 7.6, 5.0, 7.0, 8.4, 5
DOT, RING, NEAR = 0.55, 1.25, 3.4
"""Radius of a step and of the ring round the limit as ruled; ends nearer than the last carry no figure of their own."""
ROOM, ABOVE = 7.5, 4.4
"""A figure needs so much room beside the end of its curve, else it stands so much above it."""
MINUS = "\u2212"
Place = tuple[float, float]


def curves_drawn(curves: Curves, top: float) -> tuple[str, float]:
    """The drawing from ``top`` down, and where it ends."""
    parts, y = [], top
    for group, members in groupby(curves.curves, key=lambda one: one.group):
        own = list(members)
        parts.append(words(0, y + 4, cut(group, WIDTH), 'font-weight="800"', 3.4))
        y += GROUP
        for first in range(0, len(own), IN_A_ROW):
            row = own[first : first + IN_A_ROW]
            parts += [_square(one, LEFT + number * (SIDE + GAP), y + HEAD, number == 0) for number, one in enumerate(row)]
            parts += [words(LEFT, y + HEAD + SIDE + 6.6, curves.across, ink="soft"), _up(curves.up, y + HEAD)]
            y += HEAD + SIDE + FOOT
    return "".join(parts), y


def _up(said: str, top: float) -> str:
    x, y = 2.6, top + SIDE
    return words(x, y, said, f'transform="rotate(-90 {x:g} {y:.2f})"', ink="soft")


def _square(curve: Curve, left: float, top: float, is_first: bool) -> str:
    parts = [words(left, top - 1.2, cut(curve.name, SIDE + GAP), 'font-weight="700"')]
    for share, anchor in ((0.0, "start"), (0.5, "middle"), (1.0, "end")):
        x, y = left + SIDE * share, top + SIDE * (1 - share)
        parts += [line(x, top, f"V{top + SIDE:.2f}"), line(left, y, f"H{left + SIDE:.2f}")]
        parts.append(words(x, top + SIDE + 2.9, f"{share:.0%}", f'text-anchor="{anchor}"', 2.4, "soft"))
        if is_first:
            parts.append(words(left - 1, y + 0.9, f"{share:.0%}", 'text-anchor="end"', 2.4, "soft"))
    return "".join(parts) + _curve(curve, left, top)


def _curve(curve: Curve, left: float, top: float) -> str:
    places = [(left + SIDE * failed, top + SIDE * (1 - missed)) for _, failed, missed in curve.points]
    path = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in places)
    parts = [f'<path d="{path}" fill="none" stroke="{PRINT["ink"]}" stroke-width="{HAIR * 3:g}" stroke-linejoin="round"/>']
    parts += [_dot(place, DOT, PRINT["ink"]) for place in places]
    still = min(range(len(places)), key=lambda number: abs(curve.points[number][0]))
    parts.append(_dot(places[still], RING, PRINT["ground"]))
    taken = [places[still]]
    for number in (0, len(places) - 1):
        if all(_apart(places[number], other) > NEAR for other in taken):
            taken.append(places[number])
            parts.append(_figure(places[number], curve.points[number][0], left))
    return "".join(parts)


def _dot(place: Place, radius: float, fill: str) -> str:
    return (f'<circle cx="{place[0]:.2f}" cy="{place[1]:.2f}" r="{radius:g}" fill="{fill}" stroke="{PRINT["ink"]}" '
            f'stroke-width="{HAIR * 2:g}"/>')  # fmt: skip


def _figure(place: Place, moved_bar: float, left: float) -> str:
    """By how much, where the curve does not run: it comes down from the left."""
    x, y = place
    said = f"{moved_bar:+g}".replace("-", MINUS)
    if x < left + SIDE - ROOM:
        return words(x + 1.3, y + 0.9, said, size=2.6)
    return words(left + SIDE - 0.6, y - ABOVE, said, 'text-anchor="end"', 2.6)


def _apart(one: Place, other: Place) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)
