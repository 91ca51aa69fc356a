"""Drawings of the brake test, as SVG in the page's own colours: staff, train with what was read, walk, joint from above."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

from markupsafe import Markup

from headstock.sheets.role_shapes import role_shape
from headstock.usecases.test_papers import TestPapers, VehicleOfTest
from headstock.usecases.test_stages import Staff

WIDE, EDGE = 362.0, 14.0
STAFF_FOOT = 88.0
ON_PAGE = 'class="kf" stroke-width="1"'
APART, LETTER_WIDE = 12.0, 10.0
"""Between the numbers of two places, at least; a sign of a number."""
LABELS = 5
"""Figures under a staff, about so many."""


def staff_svg(staff: Staff, name: str, shows: str | None) -> Markup:
    """A gauge as a staff: a block a mark, full height within limits, brackets at the limits, a bar over what to expect."""
    count = staff.last - staff.first
    step = WIDE / max(count, 1)

    def x_of(mark: float) -> float:
        return EDGE + (min(max(mark, staff.first), staff.last) - staff.first) * step

    blocks = "".join(_block(staff, mark, x_of(mark), step) for mark in range(staff.first, staff.last))
    parts = [blocks, f'<path class="k" d="M{EDGE} {STAFF_FOOT}H{EDGE + WIDE}" stroke-width="2"/>', _figures(staff, x_of)]
    if staff.within is not None:
        parts.append(_brackets(staff, x_of))
    if staff.expected is not None:
        low, high = (x_of(value) for value in staff.expected)
        parts.append(
            f'<path class="so" d="M{low:.1f} 25v8M{high:.1f} 25v8M{low:.1f} 29H{high:.1f}" stroke-width="1.5"/>'
            f'<text class="s" x="{(low + high) / 2:.1f}" y="18" text-anchor="middle" font-size="16">expected</text>'
        )
    place = x_of(_mark_of(staff, shows) if shows is not None else staff.begins)
    hidden = "" if shows is not None else ' visibility="hidden"'
    parts.append(f'<path class="kf wedge" d="M-9 34h18l-9 24z" transform="translate({place:.1f} 0)"{hidden}/>')
    return Markup(f'<svg class="staff" viewBox="0 0 390 112" role="img" aria-label="{escape(staff_words(staff, name))}" '
                  f'data-first="{staff.first}" data-last="{staff.last}" data-edge="{EDGE}" data-step="{step:.3f}">'
                  f"{''.join(parts)}</svg>")  # fmt: skip


def _mark_of(staff: Staff, shows: str) -> float:
    """Where a figure lies among the marks."""
    low, following = float(staff.figures[0]), float(staff.figures[1])
    return (float(shows) - low) / (following - low)


def _block(staff: Staff, mark: int, x: float, step: float) -> str:
    within = staff.within is not None and staff.within[0] <= mark + 0.5 <= staff.within[1]
    high = 26.0 if within else 11.7
    tone = "k" if within else "so"
    filled = f"{tone}f" if mark % 2 == 0 else tone
    top = STAFF_FOOT - high
    return f'<rect class="{filled}" x="{x:.1f}" y="{top:.1f}" width="{step:.1f}" height="{high}" stroke-width="1.2"/>'


def _figures(staff: Staff, x_of: Callable[[float], float]) -> str:
    every = max(1, round((staff.last - staff.first) / LABELS))
    marks = [mark for mark in range(staff.first, staff.last + 1) if mark % every == 0]
    return "".join(
        f'<path class="so" d="M{x_of(mark):.1f} {STAFF_FOOT}v6" stroke-width="1.5"/>'
        f'<text class="s f" x="{x_of(mark):.1f}" y="108" text-anchor="middle" font-size="15">{staff.figures[mark]}</text>'
        for mark in marks
    )


def _brackets(staff: Staff, x_of: Callable[[float], float]) -> str:
    assert staff.within is not None
    parts = []
    for mark, inward, figure in zip(staff.within, (1, -1), staff.edges, strict=True):
        if figure and staff.first <= mark <= staff.last:
            x = x_of(mark)
            side, anchor = (-8, "end") if inward > 0 else (8, "start")
            parts.append(
                f'<path class="k" d="M{x:.1f} {STAFF_FOOT + 2}V46h{8 * inward}" stroke-width="4"/>'
                f'<text class="b" x="{x + side:.1f}" y="52" text-anchor="{anchor}" font-size="16">limit {figure}</text>'
            )
    return "".join(parts)


def staff_words(staff: Staff, name: str) -> str:
    """The staff in words."""
    said = [f"{name}: gauge in {staff.unit}, shown from {staff.figures[staff.first]} to {staff.figures[staff.last]}"]
    low, high = staff.edges
    if low or high:
        said.append(f"within limits {f'from {low}' if low else ''}{' ' if low and high else ''}{f'to {high}' if high else ''}")
    if staff.expected is not None:
        said.append("expected about " + " to ".join(staff.figures[round(value)] for value in staff.expected))
    return "; ".join(said)


def train_svg(
    given: TestPapers, front: str, rear: str, letters: tuple[str, str], marks: Sequence[tuple[float, str]] = (), cut: str = ""
) -> Markup:
    """The train on its rail: who stands at which end, below the brake pipe with what its gauges showed last.

    ``marks``: numbered places to look at, by metres from the front. ``cut``: the joint that somebody is between.
    """
    total_m = sum(vehicle.length_m for vehicle in given.vehicles)
    scale, at, parts, cut_at = WIDE / total_m, EDGE, [], None
    for before, vehicle in zip((None, *given.vehicles), given.vehicles, strict=False):
        if before is not None and _is_joint(cut, before.unit, vehicle.unit):
            cut_at = at
        parts.append(_vehicle(vehicle, at, vehicle.length_m * scale))
        at += vehicle.length_m * scale
    parts.append(f'{_rail(cut_at)}<path class="bp" d="M{EDGE} 38.500H{EDGE + WIDE}" stroke-width="2.600"/>')
    places = (EDGE + 12, EDGE + WIDE - 12)
    ends = zip(places if given.front_first else places[::-1], letters, strict=True)
    parts += [person_mark(letter, x, 24) for x, letter in ends if letter]
    if not marks:
        parts.append(_pipe(*((front, rear) if given.front_first else (rear, front))))
    parts += _marks([(EDGE + scale * min(max(place_m if given.front_first else total_m - place_m, 0.0), total_m), words)
                     for place_m, words in marks])  # fmt: skip
    gauges = f"Front gauge: {front or 'not read'}. Rear gauge: {rear or 'not read'}."
    said = escape(_train_words(given, gauges, bool(marks), cut))
    return Markup(f'<svg class="train" viewBox="0 0 390 104" role="img" aria-label="{said}">{"".join(parts)}</svg>')


def _marks(places: Sequence[tuple[float, str]]) -> list[str]:
    """A stroke at each place, its number below; numbers of places close together stand apart, two never read as one."""
    ordered = sorted(places)
    halves = [LETTER_WIDE * len(words) / 2 for _, words in ordered]
    at, free = [], 0.0
    for (x, _), half in zip(ordered, halves, strict=True):
        at.append(max(x, free + half))
        free = at[-1] + half + APART
    free = 2 * EDGE + WIDE
    for number in reversed(range(len(at))):
        at[number] = min(at[number], free - halves[number])
        free = at[number] - halves[number] - APART
    return [
        f'<path class="k" d="M{x:.1f} 56v8L{foot:.1f} 72" stroke-width="2"/>'
        f'<text class="f" x="{foot:.1f}" y="90" text-anchor="middle" font-size="15">{escape(words)}</text>'
        for (x, words), foot in zip(ordered, at, strict=True)
    ]


def _pipe(left: str, right: str) -> str:
    name = '<text class="s" x="195" y="89" text-anchor="middle" font-size="14">brake pipe</text>'
    return _ribbon(EDGE, 140, left, "start") + _ribbon(EDGE + WIDE - 140, 140, right, "end") + name


def _train_words(given: TestPapers, gauges: str, is_walk: bool, cut: str) -> str:
    """The train in words."""
    numbers, side = ", ".join(vehicle.number for vehicle in given.vehicles), "left" if given.front_first else "right"
    said = f"The train: {numbers}. Led from the {side}. {'Places numbered as in the list below.' if is_walk else gauges}"
    return f"{said} The rail is cut at {cut}: somebody is between." if cut else said


def _is_joint(place: str, first: str, second: str) -> bool:
    return first != second and {end.rpartition("/")[0] for end in place.split(" and ")} == {first, second}


def _rail(cut_at: float | None) -> str:
    """The one rail; cut either side of a joint while somebody is between."""
    if cut_at is None:
        return '<path class="k" d="M0 49.500H390" stroke-width="3"/><path class="k" d="M0 55H390" stroke-width="1.200"/>'
    a, b = cut_at - 16, cut_at + 16
    return (f'<path class="k" d="M0 49.500H{a:.1f}M{b:.1f} 49.500H390M{a:.1f} 42v16M{b:.1f} 42v16" stroke-width="3"/>'
            f'<path class="k" d="M0 55H{a:.1f}M{b:.1f} 55H390" stroke-width="1.200"/>')  # fmt: skip


def _vehicle(vehicle: VehicleOfTest, x: float, wide: float) -> str:
    left, right = x + 1, x + wide - 1
    cut = min(7.0, wide / 3)
    a = f"M{left:.1f} 35V20l{cut:.1f} -7" if vehicle.cab_first else f"M{left:.1f} 35V13"
    b = f"H{right - cut:.1f}l{cut:.1f} 7V35z" if vehicle.cab_last else f"H{right:.1f}V35z"
    blocks = "".join(f'<rect class="kf" x="{x + share * wide - 3.5:.1f}" y="42" width="7" height="6" stroke-width="1"/>'
                     for share in (0.24, 0.76))  # fmt: skip
    return f'<path class="kg" d="{a}{b}" stroke-width="1.600"/>{blocks}'


def _ribbon(x: float, wide: float, figure: str, anchor: str) -> str:
    """A ribbon where something was read; dots where nothing is known."""
    if not figure:
        return f'<path class="bp" d="M{x:.1f} 84h{wide:.1f}" stroke-width="3" stroke-dasharray="1 7"/>'
    at = x + 10 if anchor == "start" else x + wide - 10
    return (f'<rect class="ribbon" x="{x:.1f}" y="74" width="{wide:.1f}" height="20" stroke-width="2"/>'
            f'<text class="f" x="{at:.1f}" y="90" text-anchor="{anchor}" font-size="17">{escape(figure)}</text>')  # fmt: skip


def person_mark(letter: str, x: float, y: float) -> str:
    """A role by its letter and its shape."""
    low, size = (6, 9) if letter == "G" else (4, 11)
    return (f'<g transform="translate({x:.1f} {y:.1f})">{role_shape(letter, 0, 0, ON_PAGE)}'
            f'<text class="on" y="{low}" text-anchor="middle" font-size="{size}">{letter}</text></g>')  # fmt: skip


def role_svg(letter: str) -> Markup:
    """A role beside its words."""
    return Markup(f'<svg class="role" viewBox="-12 -12 24 24" aria-hidden="true">{person_mark(letter, 0, 0)}</svg>')


def joint_svg(people: Sequence[tuple[str, str]]) -> Markup:
    """The joint from above, the rail cut, everybody between with the own number."""
    ends = ('<path class="a" d="M164 0V66M422 0V66M164 398V496M422 398V496" stroke-width="8"/>'
            '<path class="d" d="M110 15H476M110 48H476M110 80H476M110 430H476M110 463H476" stroke-width="4"/>'
            '<path class="a" d="M68 114H518M68 381H518" stroke-width="4"/>'
            '<rect class="af" x="110" y="100" width="366" height="28" stroke-width="5"/>'
            '<rect class="af" x="110" y="367" width="366" height="28" stroke-width="5"/>'
            '<path class="a" d="M279 130V204M306 130V204M279 292V365M306 292V365" stroke-width="4"/>'
            '<rect class="af" x="263" y="204" width="60" height="44" stroke-width="4"/>'
            '<rect class="af" x="263" y="248" width="60" height="44" stroke-width="4"/>')  # fmt: skip
    found = "".join(
        f'<g transform="translate({400 + (number % 2) * -220} {200 + (number // 2) * 90})"><circle class="p" cy="14" r="15"/>'
        f'<path class="p" d="M-27 82V58Q-27 38 0 38Q27 38 27 58V82z"/><text class="n" y="72" text-anchor="middle" font-size="26">'
        f"{escape(mark or '?')}</text></g>"
        for number, (mark, _) in enumerate(people)
    )
    said = "The joint from above. Between the ends: " + ", ".join(
        f"{name}, number {mark or 'not given'}" for mark, name in people
    )
    return Markup(f'<svg class="joint" viewBox="60 0 466 500" role="img" aria-label="{escape(said)}">{ends}{found}</svg>')
