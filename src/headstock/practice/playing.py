"""Going on with a sitting: one event after another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from headstock.base.errors import Fault, InputError
from headstock.practice.events import Event
from headstock.practice.exercise import Exercise
from headstock.practice.happenings import happened
from headstock.practice.sitting import Sitting, at_time, begun


def after(sitting: Sitting, event: Event) -> Sitting:
    """The sitting after one more event. Raises InputError for one that nobody could mean here; it then changes nothing."""
    if sitting.is_over:
        raise InputError(Fault("the sitting is over", found=event.kind))
    if event.t_s < sitting.t_s - 1e-9:
        raise InputError(Fault("before what has happened already", path="t_s", found=f"{event.t_s:g} s",
                               expected=f"{sitting.t_s:g} s or later"))  # fmt: skip
    return replace(happened(at_time(sitting, event.t_s), event), events=sitting.events + 1)


def folded(exercise: Exercise, events: Iterable[Event]) -> Sitting:
    """The sitting that a list of events leads to."""
    sitting = begun(exercise)
    for event in events:
        sitting = after(sitting, event)
    return sitting
