"""One end as one sees it standing in front: body, headstock first and heaviest, everything hung from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headstock.devices.kind import At
from headstock.devices.marks import Mark
from headstock.devices.registry import kind_of
from headstock.devices.strokes import box, line

HALF_BODY_MM = 1380.0
HEADSTOCK_MM, HEADSTOCK_DEEP_MM = 1030.0, 300.0
BREAK_MM = 1900.0
HALF_GAUGE_MM = 717.5
"""Track gauge 1435 mm."""
DRAWING_ORDER = ("gangway", "lamp", "buffers", "hook and screw", "drop-head knuckle", "rigid knuckle",
                 "automatic coupler", "semi-permanent bar", "electrical head", "end cock", "hose", "jumper", "board")  # fmt: skip


def end_marks(devices: Mapping[At, Any], state: Mapping[str, str]) -> tuple[Mark, ...]:
    """All marks of an end; ``state`` has the named values of the train."""
    return (*body_marks(), *(mark for _, marks in device_marks(devices, state) for mark in marks))


def device_marks(devices: Mapping[At, Any], state: Mapping[str, str]) -> tuple[tuple[At, tuple[Mark, ...]], ...]:
    """The marks of each device, in the order in which they are drawn; none for what is not seen from in front."""
    found = []
    for at, spec in sorted(devices.items(), key=lambda item: _rank(item[1].kind)):
        kind = kind_of(spec)
        values = {_slot(at, variable.key): state[variable.key] for variable in kind.variables(at, spec)}
        found.append((at, tuple(kind.marks(spec, values))))
    return tuple(found)


def part_marks(devices: Mapping[At, Any], state: Mapping[str, str]) -> tuple[tuple[At, tuple[Mark, ...]], ...]:
    """The same for those that show."""
    return tuple((at, marks) for at, marks in device_marks(devices, state) if marks)


def _rank(kind: str) -> int:
    return DRAWING_ORDER.index(kind) if kind in DRAWING_ORDER else len(DRAWING_ORDER)


def _slot(at: At, key: str) -> str:
    return key.removeprefix(at.key()).lstrip(".")


def body_marks() -> tuple[Mark, ...]:
    """Body, headstock, steps, buffers' rail and ground, which every end has."""
    low, half = HEADSTOCK_MM + HEADSTOCK_DEEP_MM / 2, HALF_BODY_MM
    ragged = [(-half + step * half / 7, BREAK_MM + (30 if step % 2 else -25)) for step in range(15)]
    parts: list[Mark] = [
        box(0, HEADSTOCK_MM, 2 * half - 100, HEADSTOCK_DEEP_MM, weight="headstock", fill="plate"),
        line((-half, low), (-half, BREAK_MM - 20)),
        line((half, low), (half, BREAK_MM - 20)),
        line(*ragged, ink="soft", weight="hairline"),
        line((-1500, 0), (1500, 0), ink="soft", weight="hairline"),
    ]
    for side in (-1, 1):
        outer, inner, foot = side * 1350, side * 1130, HEADSTOCK_MM - HEADSTOCK_DEEP_MM / 2
        parts += [line((outer, foot), (outer, 490)), line((inner, foot), (inner, 490))]
        parts += [line((outer, tread), (inner, tread), weight="frame") for tread in (760, 490)]
        parts += [
            box(side * HALF_GAUGE_MM, 130, 75, 60, fill="ink"),
            box(side * HALF_GAUGE_MM, 40, 150, 45, fill="ink"),
        ]
    return tuple(parts)
