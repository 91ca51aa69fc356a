"""The joint that the work is done at, from the side at twice the size of the strip: headstocks, couplers, jumper, pipes."""

from __future__ import annotations

from headstock.devices.scene import COUPLE, GAP
from headstock.formation.train import UnitEnd
from headstock.usecases.job_stands import JobStands
from headstock.web.drawings.ink import path, rect, svg, text
from headstock.web.drawings.strip import COCK, RAIL, SOLE, TOP, couplers, end_parts, pipes

WIDTH, BODY = 320.0, 108.0
"""Of the drawing, and of the vehicle on either side."""
HIGH = RAIL - 4


def joint_side(stands: JobStands, is_apart: bool) -> str:
    """Both ends with everything between them, as told."""
    joint = stands.train.joint_to_make
    left, right = BODY, WIDTH - BODY
    reach = (right - left) / 2
    parts = [path(f"M0 {RAIL}H{WIDTH}", wide=1.6), path(f"M0 {RAIL + 3}H{WIDTH}", wide=0.6)]
    for end, edge, way in ((joint.first, left, 1), (joint.second, right, -1)):
        parts.append(_body(stands, end, edge, way))
        unit = stands.train.unit(end.unit)
        parts.append(pipes(unit, *((-COCK, edge) if way > 0 else (edge, WIDTH + COCK))))
    parts.append(couplers(left, right, is_apart))
    for end, edge, way in ((joint.first, left, 1), (joint.second, right, -1)):
        parts += end_parts(stands, end, (edge, way, reach), True)
    parts += [text(WIDTH / 2, TOP - 14 + 11 * row, words, size=7.5, anchor="middle", ink="soft")
              for row, words in enumerate(_between(stands))]  # fmt: skip
    return svg(WIDTH, HIGH, parts, "The joint from the side", "joint-side", top=RAIL + 8 - HIGH)


def _between(stands: JobStands) -> list[str]:
    """How ends and couple stand in words; where both are apart it is said once."""
    keys = [key for key in (GAP, COUPLE) if key in stands.variables]
    if len(keys) > 1 and stands.values[GAP] == stands.values[COUPLE]:
        keys.pop()
    return [stands.variables[key].say(stands.values[key]) for key in keys]


def _body(stands: JobStands, end: UnitEnd, edge: float, way: int) -> str:
    """The end of a vehicle, its headstock end on as a tall plate, its number."""
    unit = stands.train.unit(end.unit)
    spec = unit.end_spec(end.end)
    far = edge - way * BODY
    cut = f"L{edge - way * 10} {TOP}L{edge} {TOP + 12}" if spec.has_cab else f"L{edge} {TOP}"
    outline = path(f"M{far} {TOP}{cut}V{SOLE}", wide=1.4) + path(f"M{far} {SOLE}H{edge}", wide=2.4)
    plate = rect(edge - 2.5, SOLE - 14, 5, 22, line=0, fill="ink")
    name = unit.vehicle_name(spec.vehicle)
    return outline + plate + text(edge - way * BODY / 2, TOP + 22, name, size=10, anchor="middle", figures=True)
