"""Who closes a job asks: what do we tell and enter now? The rules' lines, filled in from the train where that is known."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from headstock.devices.kind import At
from headstock.local_rules.spoken import length_at_least
from headstock.procedures.task import AttachTask
from headstock.usecases.found_cautions import isolated_brakes


@dataclass(frozen=True, slots=True)
class ToldAfterwards:
    """One line; ``value`` is None where it is asked for and not known, and "" where nothing is filled in."""

    what: str
    how: str
    to: str
    value: str | None
    words: str


def told_afterwards(task: AttachTask) -> tuple[ToldAfterwards, ...]:
    """Every line of the local rules for the finished train."""
    known = _known(task)
    lines = []
    by_hand = bool(_by_hand(task))
    for line in task.rules.tell_afterwards.value:
        if line.what == "springs released by hand" and not by_hand:
            continue
        value = known.get(line.what) if line.asks_value else ""
        lines.append(ToldAfterwards(line.what, line.how, line.to, value, line.filled(value)))
    return tuple(lines)


def told_lines(task: AttachTask) -> tuple[str, ...]:
    """The same as one line for each to whom it is told, or into what it is entered."""
    lines: dict[tuple[str, str], list[str]] = {}
    for line in told_afterwards(task):
        lines.setdefault((line.how, line.to), []).append(line.words)
    return tuple(f"{'To' if how == 'told' else 'Into'} {to}: {' '.join(words)}" for (how, to), words in lines.items())


def _by_hand(task: AttachTask) -> tuple[At, ...]:
    """Vehicles whose springs are released by hand when all is done."""
    if task.rescue is not None:
        return task.rescue.by_hand
    return task.rescued.left_released if task.rescued is not None else ()


def _known(task: AttachTask) -> dict[str, str]:
    """What the train itself says."""
    leaving = task.moving_units if task.parts else task.train.units
    units = leaving if task.test_ends[0] == task.leaves_from else leaving[::-1]
    length_m = sum(unit.unit_type.length_m for unit in units)
    limits = () if task.parts else tuple(text.rstrip(".") for text in (*task.way.losses, *task.way.restrictions))
    return {
        # A train said to be shorter than it is stands foul of something; a hair is rounding of the sum.
        "length": length_at_least(length_m, task.rules.length_unit),
        "mass": f"{ceil(sum(unit.unit_type.mass_kg for unit in units) / 1000 - 1e-6)} t",
        "vehicles": str(sum(len(unit.unit_type.vehicles) for unit in units)),
        "order of units": ", ".join(unit.name for unit in units),
        "brakes isolated": ", ".join(isolated_brakes(task.train, task.as_found)) or "none",
        "springs released by hand": ", ".join(at.where for at in _by_hand(task)) or "none",
        "brake test": task.method.name,
        "restrictions": "; ".join(limits) or "none",
    }
