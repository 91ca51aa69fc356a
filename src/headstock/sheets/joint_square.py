"""The square of a joint: what crosses it, from the top down; each pipe in its own pattern, stubs where nothing crosses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from headstock.devices.marks import Ink

WIDE, HIGH = 100.0, 56.0
COUPLER, MAIN, BRAKE, ELECTRIC, CONTROL = 9.0, 22.0, 32.0, 42.0, 51.0
"""Heights of the lanes."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """By what the couplers are joined ("no" for not at all) and which lanes cross; ``wires_apart``: wires there, not joined."""

    coupler: str
    main_reservoir_pipe: bool = False
    brake_pipe: bool = False
    electric_brake: bool = False
    control: bool = False
    wires_apart: bool = False


def square_svg(crossing: Crossing, paint: Mapping[Ink, str], number: int = 0) -> str:
    """The square as SVG; ``paint`` gives each ink's colour, ``number`` keeps the hatching of several squares apart."""
    body = "".join(_no(paint) if crossing.coupler == "no" else _lanes(crossing, paint, number))
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {HIGH:g}">{body}</svg>'


def _no(paint: Mapping[Ink, str]) -> Iterator[str]:
    """Two stop bars with the rail cut between them."""
    for x, edge in ((36, 0), (64, 100)):
        yield _line(edge, COUPLER + 8, x, COUPLER + 8, paint["ink"], 5)
        yield _line(x, COUPLER - 6, x, COUPLER + 22, paint["ink"], 5)


def _lanes(crossing: Crossing, paint: Mapping[Ink, str], number: int) -> Iterator[str]:
    ink = paint["ink"]
    yield _line(0, COUPLER, WIDE, COUPLER, ink, 5)
    if crossing.coupler == "screw":
        body = f'fill="{paint["ground"]}" stroke="{ink}" stroke-width="2.2"'
        yield f'<rect x="38" y="{COUPLER - 5}" width="24" height="10" {body}/>'
        yield _line(50, COUPLER - 8.5, 50, COUPLER + 8.5, ink, 3)
    elif crossing.coupler == "adapter":
        points = f"50,{COUPLER - 8.5} 63,{COUPLER} 50,{COUPLER + 8.5} 37,{COUPLER}"
        yield f'<polygon points="{points}" fill="{paint["ground"]}" stroke="{ink}" stroke-width="2.2"/>'
    if crossing.main_reservoir_pipe:
        yield from (_line(0, MAIN + off, WIDE, MAIN + off, paint["main_reservoir_pipe"], 1.9) for off in (-2, 2))
    else:
        yield from _stubs(MAIN, paint)
    yield from _lane(crossing.brake_pipe, BRAKE, paint, "brake_pipe", 3.6, "")
    if crossing.wires_apart:
        yield from _hatched(paint, number)
        return
    yield from _lane(crossing.electric_brake, ELECTRIC, paint, "electrical", 2.8, "7 4")
    yield from _lane(crossing.control, CONTROL, paint, "electrical", 2.8, "2.2 4.2")


def _lane(crosses: bool, y: float, paint: Mapping[Ink, str], ink: Ink, weight: float, dash: str) -> Iterator[str]:
    if crosses:
        yield _line(0, y, WIDE, y, paint[ink], weight, dash)
    else:
        yield from _stubs(y, paint)


def _stubs(y: float, paint: Mapping[Ink, str]) -> Iterator[str]:
    yield _line(0, y, 9, y, paint["soft"], 1.5)
    yield _line(WIDE - 9, y, WIDE, y, paint["soft"], 1.5)


def _hatched(paint: Mapping[Ink, str], number: int) -> Iterator[str]:
    """Wires on both ends that are not joined: a hatched strip across both electrical lanes."""
    top, low = ELECTRIC - 4.5, CONTROL + 4
    ink, clip = paint["ink"], f"strip-{number}"
    strip = f'<rect x="0.8" y="{top}" width="{WIDE - 1.6}" height="{low - top}"'
    yield f'<clipPath id="{clip}">{strip}/></clipPath><g clip-path="url(#{clip})">'
    yield from (_line(x, low, x + low - top, top, ink, 1.3) for x in range(-14, int(WIDE), 7))
    yield f'</g>{strip} fill="none" stroke="{ink}" stroke-width="1.3"/>'


def _line(x: float, y: float, to_x: float, to_y: float, colour: str, weight: float, dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path d="M{x:g} {y:g}L{to_x:g} {to_y:g}" fill="none" stroke="{colour}" stroke-width="{weight:g}"{dashed}/>'
