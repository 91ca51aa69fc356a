"""The train along the top of a job: from the side, on its one rail, every cock, hose and jumper as told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from headstock.devices.kind import At
from headstock.formation.place import Place
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.usecases.job_stands import JobStands
from headstock.web.drawings.ink import link, path, rect, svg, text

WIDTH, NARROW, HIGH = 1328.0, 380.0, 184.0
TOP, SOLE, MR_Y, BP_Y, RAIL = 34.0, 70.0, 80.0, 96.0, 120.0
MADE_GAP, TOUCHING_GAP, WORKED_GAP, MARGIN, COCK = 40.0, 64.0, 124.0, 18.0, 11.0
PIPES = {"main reservoir pipe": (MR_Y, "mr"), "brake pipe": (BP_Y, "bp")}


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands beside the train: the place, the end that leads away, whether what parts at the joint is apart yet."""

    place: Place
    leaves_from: UnitEnd
    is_apart: bool


@dataclass(frozen=True, slots=True)
class _Box:
    """A vehicle as drawn; ``hidden``: how many are folded away in its place."""

    unit: TrainUnit
    suffix: str
    left: float
    wide: float
    hidden: int = 0


def train_strip(stands: JobStands, beside: Beside, *, narrow: bool = False) -> str:
    """The whole train; ``narrow``: joint and both ends, with what lies between folded and counted."""
    train, width = stands.train, NARROW if narrow else WIDTH
    boxes = _boxes(stands, beside, width, narrow)
    groups = train.portions() if narrow else tuple((unit,) for unit in train.units)
    spans = [_span(boxes, group) for group in groups]
    joints = (train.joint_to_make,) if narrow else train.joints
    parts = [_rail(beside, width), *(_vehicle(stands, box, narrow) for box in boxes)]
    parts += [pipes(group[0], *span) for group, span in zip(groups, spans, strict=True)]
    reach: dict[UnitEnd, float] = {}
    for joint, (before, after) in zip(joints, pairwise(spans), strict=True):
        parts.append(couplers(before[1], after[0], beside.is_apart and not joint.made))
        if joint is train.joint_to_make:
            parts.append(path(f"M{(before[1] + after[0]) / 2:.1f} {SOLE + 10}V{HIGH - 48}", ink="soft", wide=1))
        reach |= dict.fromkeys((joint.first, joint.second), (after[0] - before[1]) / 2)
    for group, (left, right) in zip(groups, spans, strict=True):
        first, last = group[0], group[-1]
        outer = UnitEnd(first.name, first.first_end), UnitEnd(last.name, last.first_end).other
        for end, x, way in ((outer[0], left, -1), (outer[1], right, 1)):
            parts += end_parts(stands, end, (x, way, reach.get(end, MADE_GAP / 2)), not narrow)
    parts += [*_titles(stands, boxes, narrow), *_directions(beside, stands, width)]
    return svg(width, HIGH, parts, "The train from the side", "strip narrow" if narrow else "strip wide")


def _span(boxes: Sequence[_Box], units: Sequence[TrainUnit]) -> tuple[float, float]:
    """Where units begin and end on the drawing."""
    own = [box for box in boxes if box.unit in units]
    return min(box.left for box in own), max(box.left + box.wide for box in own)


def _boxes(stands: JobStands, beside: Beside, width: float, narrow: bool) -> list[_Box]:
    """Vehicles to scale of their lengths; on a phone the outermost ones of each portion, what lies between in one box."""
    train = stands.train
    rows = [_row((unit,)) for unit in train.units]
    gaps = [_gap(joint, train, beside) for joint in train.joints]
    if narrow:
        rows = [_folded(_row(portion)) for portion in train.portions()]
        gaps = [40.0 if beside.is_apart else 24.0]
    scale = (width - 2 * MARGIN - sum(gaps)) / sum(length for row in rows for _, _, length, _ in row)
    boxes, at = [], MARGIN
    for row, gap in zip(rows, [*gaps, 0.0], strict=True):
        for unit, suffix, length, hidden in row:
            boxes.append(_Box(unit, suffix, at, length * scale, hidden))
            at += length * scale
        at += gap
    return boxes


def _gap(joint: Joint, train: Train, beside: Beside) -> float:
    if joint is not train.joint_to_make:
        return MADE_GAP
    return WORKED_GAP if beside.is_apart else TOUCHING_GAP


_Row = list[tuple[TrainUnit, str, float, int]]


def _row(units: Sequence[TrainUnit]) -> _Row:
    """Unit, suffix, length [m] and how many are folded into it, of each vehicle in order."""
    return [(unit, suffix, next(one.length_m for one in unit.unit_type.vehicles if one.suffix == suffix), 0)
            for unit in units for suffix in unit.vehicle_suffixes]  # fmt: skip


def _folded(row: _Row) -> _Row:
    """The outermost two, and between them one box for the others."""
    if len(row) <= 3:
        return row
    return [row[0], (row[1][0], row[1][1], 16.0, len(row) - 2), row[-1]]


def _rail(beside: Beside, width: float) -> str:
    parts = [path(f"M0 {RAIL}H{width}", wide=3), path(f"M0 {RAIL + 5}H{width}", wide=1)]
    place = beside.place
    if place.slope:
        high_left = place.falls_towards == place.directions[1]
        corner = f"0 {RAIL + 18}" if high_left else f"{width} {RAIL + 18}"
        parts.append(path(f"M0 {RAIL + 8}L{width} {RAIL + 8}L{corner}z", wide=0, fill="soft"))
    return "".join(parts)


def _vehicle(stands: JobStands, box: _Box, narrow: bool) -> str:
    """Box with a stout sole, cab ends with a cut corner, its number, its hold, its blocks."""
    left, right, unit = box.left + 2, box.left + box.wide - 2, box.unit
    if box.hidden:
        middle = (left + right) / 2
        return path(f"M{left} {TOP}H{right}M{left} {SOLE}H{right}", dash="3 3") + text(
            middle, TOP + 24, f"{box.hidden} more", size=12.5, anchor="middle")  # fmt: skip
    first, last = box.suffix == unit.vehicle_suffixes[0], box.suffix == unit.vehicle_suffixes[-1]
    cab_left = first and unit.end_spec(unit.first_end).has_cab
    cab_right = last and unit.end_spec("2" if unit.first_end == "1" else "1").has_cab
    a = f"M{left} {SOLE}V{TOP + 14}L{left + 12} {TOP}" if cab_left else f"M{left} {SOLE}V{TOP}"
    b = f"H{right - 12}L{right} {TOP + 14}V{SOLE}z" if cab_right else f"H{right}V{SOLE}z"
    name, hold = unit.vehicle_name(box.suffix), "" if narrow else _hold(stands, box)
    size = min(16.0, (box.wide - (30 if hold else 8)) / (0.68 * max(len(name), 1)))
    middle = box.left + box.wide / 2 - (9 if hold and box.wide < 90 else 0)
    body = path(f"{a}{b}", fill="ground") + path(f"M{left - 1} {SOLE}H{right + 1}", wide=4)
    return body + text(middle, TOP + 24, name, size=size, anchor="middle", figures=True) + hold + _blocks(box)


def _blocks(box: _Box) -> str:
    """Nobody has looked at a brake block: hatched, as everything that is not known."""
    spots = [box.left + share * box.wide - 8 for share in (0.22, 0.78)]
    return "".join(rect(x, RAIL - 10, 16, 8, line=1, fill="hatch") for x in spots)


def _hold(stands: JobStands, box: _Box) -> str:
    """Disc H of a hand brake, P of a parking brake: two rings where it is told on, one where off; broken, nobody has looked."""
    unit, vehicle = box.unit, box.unit.vehicle_name(box.suffix)
    for at, spec in stands.train.devices():
        if at.unit != unit.name or spec.kind not in ("hand brake", "parking brake"):
            continue
        if at.vehicle == vehicle or (spec.kind == "parking brake" and box.suffix in spec.vehicles):
            is_on, x = stands.values[at.key()] == "on", box.left + box.wide - 24
            letter = "H" if spec.kind == "hand brake" else "P"
            rings = "".join(_ring(x, radius) for radius in ((11, 8) if is_on else (8,)))
            said = f"{stands.part(at, spec).name} of {vehicle}: {stands.values[at.key()]}, told"
            return f"<g><title>{said}</title>{rings}{text(x, TOP + 22, letter, size=11, anchor='middle', bold=True)}</g>"
    return ""


def _ring(x: float, radius: float) -> str:
    return (f'<circle cx="{x:.1f}" cy="{TOP + 18}" r="{radius:g}" fill="none" stroke="var(--ink)" stroke-width="1.5" '
            'stroke-dasharray="3.5 2"/>')  # fmt: skip


def pipes(unit: TrainUnit, left: float, right: float) -> str:
    """Main reservoir pipe in two lines above, brake pipe in one below."""
    a, b = left + COCK, right - COCK
    parts = []
    if unit.unit_type.air_pipe("main reservoir pipe"):
        parts += [path(f"M{a:.1f} {MR_Y + off}H{b:.1f}", ink="mr", wide=1.3) for off in (-1.7, 1.7)]
    if unit.unit_type.air_pipe("brake pipe"):
        parts.append(path(f"M{a:.1f} {BP_Y}H{b:.1f}", ink="bp", wide=3))
    return "".join(parts)


def couplers(left: float, right: float, is_apart: bool) -> str:
    """Couplers from sole to sole; apart where the job has yet to join."""
    y = SOLE - 4
    if not is_apart:
        return path(f"M{left} {y}H{right}", wide=5) + path(f"M{(left + right) / 2 - 5} {y - 6}h10v12h-10z", fill="ground")
    reach = (right - left) * 0.22
    heads = [path(f"M{at} {y}h{way * reach}", wide=5) + path(f"M{at + way * reach - 5} {y - 6}h10v12h-10z", fill="ground")
             for at, way in ((left, 1), (right, -1))]  # fmt: skip
    return "".join(heads)


def end_parts(stands: JobStands, end: UnitEnd, where: tuple[float, int, float], linked: bool) -> list[str]:
    """Cocks, hoses and jumper of an end."""
    parts = []
    for at, spec in stands.train.end_devices(end):
        figure = _figure(stands, at, spec, where)
        if figure:
            said = stands.part(at, spec)
            label = f"{said.name} of {at.where}: {said.says}, told"
            parts.append(link(at.key(), label, figure) if linked else f'<g class="told"><title>{label}</title>{figure}</g>')
    return parts


def _figure(stands: JobStands, at: At, spec: Any, where: tuple[float, int, float]) -> str:
    """A cock, a hose or a jumper; nothing for what is not drawn from the side. ``where``: edge, way out, middle of the joint."""
    x, way, reach = where
    if spec.kind == "end cock":
        return _cock(stands.values[at.key()], *PIPES[spec.pipe], x - way * COCK / 2)
    if spec.kind == "hose":
        return _hose(stands.values[at.key()], *PIPES[spec.pipe], x, way, reach)
    return _jumper(stands.values[at.key()], x, way, reach) if spec.kind == "jumper" else ""


def _cock(state: str, y: float, ink: str, x: float) -> str:
    half = COCK / 2
    if state == "open":
        ring = f'<circle cx="{x:.1f}" cy="{y}" r="{half:g}" fill="var(--ground)" stroke="var(--ink)" stroke-width="1.6"/>'
        return ring + path(f"M{x - half:.1f} {y}h{COCK}", ink=ink, wide=2.4)
    return rect(x - half, y - half, COCK, COCK, line=1.8)


def _hose(state: str, y: float, ink: str, x: float, way: int, reach: float) -> str:
    if state == "joined":
        lozenge = path(f"M{x + way * reach - 4:.1f} {y + 10}l4 -4l4 4l-4 4z", fill="ground", wide=1.4)
        return path(f"M{x:.1f} {y}q{way * reach / 2:.1f} 10 {way * reach:.1f} 10", ink=ink, wide=2.6) + lozenge
    if state == "hanging":
        ring = f'<circle cx="{x + way * 8:.1f}" cy="{y + 17}" r="2.6" fill="none" stroke="var(--{ink})" stroke-width="1.8"/>'
        return path(f"M{x} {y}q{way * 8} 0 {way * 8} 14", ink=ink, wide=2.6) + ring
    return path(f"M{x} {y}q{way * 10} 0 {way * 10} 5q0 5 {-way * 8} 4", ink=ink, wide=2.6) + path(
        f"M{x + way * 1.5} {y + 5}v7", wide=1.6)  # fmt: skip


def _jumper(state: str, x: float, way: int, reach: float) -> str:
    y = TOP + 22
    box = rect(x + way * 6 - 5, y - 5, 10, 10)
    if state == "in its dummy":
        return box + rect(x + way * 6 - 2.5, y - 2.5, 5, 5, ink="el", fill="none")
    if state == "hanging":
        return box + path(f"M{x + way * 6} {y + 5}q{way * 10} 6 {way * 8} 20", ink="el", wide=2)
    across = path(f"M{x + way * 11:.1f} {y}q{way * (reach - 11):.1f} 26 {way * (2 * reach - 16):.1f} 0", ink="el", wide=2)
    bar = path(f"M{x + way * 6 - 8} {y - 9}h16" if state == "latched" else f"M{x + way * 6 - 7} {y - 9}l14 -7", wide=2.4)
    return box + across + bar


def _titles(stands: JobStands, boxes: Sequence[_Box], narrow: bool) -> list[str]:
    """Each portion by its name, with how many vehicles and how heavy."""
    parts = []
    for units in stands.train.portions():
        name = "+".join(unit.name for unit in units)
        vehicles = sum(len(unit.unit_type.vehicles) for unit in units)
        tonnes = sum(unit.unit_type.mass_kg for unit in units) / 1000
        x, _ = _span(boxes, units)
        parts.append(text(x, 20, name, size=19, bold=True))
        if not narrow:
            parts.append(text(x + 13 * len(name) + 10, 20, f"{vehicles} vehicles · {tonnes:.0f} t", size=15, ink="soft"))
    return parts


def _directions(beside: Beside, stands: JobStands, width: float) -> list[str]:
    """Which way is which, where the train leaves, how the road falls."""
    place, outer = beside.place, stands.train.outer_ends
    parts = []
    for number, (word, x, anchor) in enumerate(zip(place.directions, (0.0, width), ("start", "end"), strict=True)):
        said = []
        if outer[number] == beside.leaves_from:
            said.append("leaves this way")
        if place.falls_towards == word:
            said.append(f"falls {place.gradient}")
        parts.append(text(x, RAIL + 38, word, size=15, anchor=anchor, bold=True))
        parts.append(text(x, RAIL + 56, ", ".join(said), size=15, anchor=anchor, ink="soft"))
    return parts
