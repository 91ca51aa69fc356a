"""The talk-through: what was done when, what it risked, what nobody looked at, and the gauges over the time."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from headstock.practice.sitting import Note, Sitting

WIDE, HIGH = 1000.0, 220.0
MOST_POINTS = 600


@dataclass(frozen=True, slots=True)
class Trace:
    """A cab's gauge as a path of a drawing 1000 wide and 220 high, ``TalkThrough.top_bar`` at its top."""

    name: str
    path: str
    last_bar: float


@dataclass(frozen=True, slots=True)
class TalkThrough:
    """Lines in order of time; traces; what the instruction looks at and nobody did."""

    notes: tuple[Note, ...]
    traces: tuple[Trace, ...]
    minutes: tuple[tuple[float, str], ...]
    marks: tuple[tuple[float, str], ...]
    never_looked_at: tuple[str, ...]
    until_s: float
    top_bar: int


def talk_through_of(sitting: Sitting) -> TalkThrough:
    """All of a sitting, to be talked through."""
    until_s = max(sitting.t_s, 1.0)
    minutes = tuple((WIDE * minute * 60 / until_s, str(minute)) for minute in range(0, int(until_s // 60) + 1, _every(until_s)))
    marks = tuple((WIDE * note.t_s / until_s, note.role) for note in sitting.unsafe)
    top_bar = _top_bar(sitting)
    return TalkThrough(tuple(note for note in sitting.notes if note.kind != "went"), _traces(sitting, until_s, top_bar), minutes,
                       marks, _never_looked_at(sitting), until_s, top_bar)  # fmt: skip


def _top_bar(sitting: Sitting) -> int:
    """The whole bar above all that the gauges have shown, and above what the valves charge to."""
    if sitting.air is None:
        return 1
    _, bar = sitting.air.traces()
    charged_bar = max((valve.set_pressure_bar for valve in sitting.air.model.valves.values()), default=0.0)
    return ceil(max(charged_bar, float(bar.max(initial=0.0))) + 0.05)


def _every(until_s: float) -> int:
    return max(1, round(until_s / 60 / 12))


def _traces(sitting: Sitting, until_s: float, top_bar: int) -> tuple[Trace, ...]:
    if sitting.air is None:
        return ()
    t_s, bar = sitting.air.traces()
    step = max(1, t_s.size // MOST_POINTS)
    found = []
    for number, end in enumerate(sitting.air.model.cabs):
        points = " ".join(f"{WIDE * t / until_s:.1f},{HIGH * (1 - max(0.0, p) / top_bar):.1f}"
                          for t, p in zip(t_s[::step], bar[::step, number], strict=True))  # fmt: skip
        if points:
            found.append(Trace(f"cab {end}", points, float(bar[-1, number])))
    return tuple(found)


def _never_looked_at(sitting: Sitting) -> tuple[str, ...]:
    done = {step.ident for _, step in sitting.done if step.shows}
    tried = {note.text.partition(":")[0] for note in sitting.notes if note.kind == "saw"}
    missed = [step for step in sitting.exercise.order if step.shows and step.ident not in done and step.key not in tried]
    return tuple(dict.fromkeys(f"{step.role}: {step.key}" for step in missed))
