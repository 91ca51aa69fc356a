"""A crew that does an order of work line by line: walks there, does it, waits as long as the rules say, calls a reading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from headstock.practice.acting import least_s
from headstock.practice.events import Declared, Did, Ended, Event, Turned, Walked
from headstock.practice.exercise import Exercise
from headstock.practice.playing import after
from headstock.practice.role_view import gauges_in_sight
from headstock.practice.sitting import Sitting, at_time, begun
from headstock.practice.stage_reading import stage_of, truth_of
from headstock.reasoning.step import Step


def events_of(sitting: Sitting, order: Sequence[Step]) -> Iterator[tuple[Event, Sitting]]:
    """Each event and the sitting after it."""
    t_s = sitting.t_s
    for step in order:
        t_s += 2.0
        here = sitting.place_of(step.role)
        if step.place is not None and here != step.place:
            t_s += sitting.exercise.domain.walk_s(here, step.place) or 0.0
            walked = Walked(t_s, step.role, step.place)
            sitting = after(sitting, walked)
            yield walked, sitting
        if step.ident not in sitting.exercise.steps:  # by hand, apart from any step
            for key, value in step.effects:
                turned = Turned(t_s, step.role, key, value)
                sitting = after(sitting, turned)
                yield turned, sitting
            continue
        did = Did(t_s, step.role, step.key)
        sitting = after(sitting, did)
        yield did, sitting
        if step.role in sitting.doing:
            t_s += max(step.duration_s, least_s(sitting, step))
            stage = stage_of(sitting, step)
            truth = truth_of(after(sitting, Ended(t_s, step.role)), stage) if stage is not None else None
            gauges = gauges_in_sight(at_time(sitting, t_s), step.role) if truth else ()
            ended = Ended(t_s, step.role, gauges[0].shows_bar if gauges else None, truth is None or truth[1])
            sitting = after(sitting, ended)
            yield ended, sitting


def at_line(exercise: Exercise, line: int, sitting: Sitting | None = None) -> Sitting:
    """The sitting before a line (0 is the first)."""
    last = sitting or begun(exercise)
    for _, later in events_of(last, exercise.order[:line]):
        last = later
    return last


def played(exercise: Exercise, order: Sequence[Step] | None = None, declare: bool = True) -> Sitting:
    """The sitting after a crew has done an order."""
    sitting = begun(exercise)
    for _, later in events_of(sitting, exercise.order if order is None else order):
        sitting = later
    return after(sitting, Declared(sitting.t_s, exercise.roles[0])) if declare else sitting
