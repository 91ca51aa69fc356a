"""The ends that a role has before its eyes, drawn as they really stand; the table beside says the same in words."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.formation.end_drawing import end_marks
from headstock.formation.train import UnitEnd
from headstock.practice.sitting import Sitting
from headstock.procedures.places import BETWEEN, JOINT, before
from headstock.sheets.svg import TOP_MM, WIDTH_MM, marks_svg
from headstock.web.page_paint import PAINT


@dataclass(frozen=True, slots=True)
class EndSeen:
    """An end with its drawing (SVG)."""

    title: str
    drawing: str


def ends_seen(sitting: Sitting, role: str) -> tuple[EndSeen, ...]:
    """From where a role stands."""
    task, place = sitting.exercise.task, sitting.place_of(role)
    ends = (task.near, task.far) if place in (JOINT, BETWEEN) else tuple(end for end in _ends(sitting) if place == before(end))
    return tuple(EndSeen(_title(sitting, end), _drawn(sitting, end)) for end in ends)


def _ends(sitting: Sitting) -> tuple[UnitEnd, ...]:
    return tuple(UnitEnd(unit.name, number) for unit in sitting.exercise.task.train.units for number in ("1", "2"))


def _title(sitting: Sitting, end: UnitEnd) -> str:
    unit = sitting.exercise.task.train.unit(end.unit)
    return f"{unit.vehicle_name(unit.end_spec(end.end).vehicle)}, end of {end.unit}"


def _drawn(sitting: Sitting, end: UnitEnd) -> str:
    marks = end_marks(dict(sitting.exercise.task.train.end_devices(end)), sitting.state)
    frame = f"{-WIDTH_MM / 2:g} {-TOP_MM:g} {WIDTH_MM:g} {TOP_MM + 20:g}"
    said = f"{_title(sitting, end)}, opened out, as seen from in front; how each part stands is in the list Within reach"
    return f'<svg viewBox="{frame}" role="img" aria-label="{said}">{marks_svg(marks, PAINT)}</svg>'
