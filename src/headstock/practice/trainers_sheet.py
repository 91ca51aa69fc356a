"""What only the trainer sees: how things are, who knows what, what is hidden and who could see it."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.practice.reach import reach_from
from headstock.practice.sitting import Sitting


@dataclass(frozen=True, slots=True)
class KnownRow:
    """A thing: how it really is, and per role how it stands with it: "seen or told", "not known", or what it believes wrongly."""

    what: str
    roles: tuple[tuple[str, str], ...]
    is_hidden: bool


@dataclass(frozen=True, slots=True)
class TrainersSheet:
    """Rows of who knows what; gauges of all cabs; what could be planted; where what is hidden can be seen from."""

    rows: tuple[KnownRow, ...]
    gauges: tuple[tuple[str, float], ...]
    plantable: tuple[tuple[str, str, tuple[str, ...]], ...]
    seen_from: tuple[tuple[str, str], ...]


def sheet_of(sitting: Sitting) -> TrainersSheet:
    """The trainer's sheet of a sitting."""
    exercise, air = sitting.exercise, sitting.air
    hidden = {**{one.key: one.value for one in exercise.hidden}, **dict(sitting.planted)}
    touched = [key for key in sitting.run.touches if key in exercise.domain.variables]
    keys = [*hidden, *(key for key in reversed(touched) if key not in hidden)][:14]
    variables = exercise.domain.variables
    gauges = () if air is None else tuple((f"cab {end}", round(air.pipe_bar(end), 2)) for end in air.model.cabs)
    devices = tuple((key, one.label, tuple(value for value in one.domain if value != sitting.state[key]))
                    for key, one in variables.items() if one.kind == "device")  # fmt: skip
    return TrainersSheet(
        tuple(_row(sitting, key, key in hidden) for key in keys), gauges, devices,
        tuple((variables[key].say(sitting.state[key]), ", ".join(_places(sitting, key)) or "nowhere by eye") for key in hidden),
    )  # fmt: skip


def _row(sitting: Sitting, key: str, is_hidden: bool) -> KnownRow:
    variable, value = sitting.exercise.domain.variables[key], sitting.state[key]
    roles = []
    for role in sitting.exercise.roles:
        kept = sitting.run.memory.get((role, key))
        if sitting.run.knows(role, (key, value)):
            roles.append((role, "knows it"))
        elif kept is not None:
            roles.append((role, f"believes: {variable.say(kept.value)}"))
        else:
            roles.append((role, "not known"))
    return KnownRow(variable.say(value), tuple(roles), is_hidden)


def _places(sitting: Sitting, key: str) -> list[str]:
    domain = sitting.exercise.domain
    return [place.label for name, place in domain.places.items() if key in reach_from(sitting.exercise, name).devices]
