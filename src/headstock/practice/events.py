"""What happens in a sitting, as plain data; a sitting is what follows from its events, in their order, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any, ClassVar

from headstock.base.errors import Fault, InputError

MOST_READ_BAR = 12.0
"""More than any brake pipe gauge shows: a reading above it is a slip of the finger (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened at a time of the sitting's own clock [s]."""

    kind: ClassVar[str] = ""
    t_s: float


@dataclass(frozen=True, slots=True)
class Took(Event):
    """A person takes a role, or gives it back to the computer (no person)."""

    kind: ClassVar[str] = "took"
    role: str
    person: str = ""


@dataclass(frozen=True, slots=True)
class Walked(Event):
    """A role goes to a place."""

    kind: ClassVar[str] = "walked"
    role: str
    place: str


@dataclass(frozen=True, slots=True)
class Did(Event):
    """A role does a step of the job, or begins one that takes its time."""

    kind: ClassVar[str] = "did"
    role: str
    step: str


@dataclass(frozen=True, slots=True)
class Overlooked(Event):
    """A colleague played by the computer does a step without really looking: what should be seen there is taken for seen."""

    kind: ClassVar[str] = "overlooked"
    role: str
    step: str


@dataclass(frozen=True, slots=True)
class Ended(Event):
    """A role ends the step that took its time; at a stage: what it read off its gauge [bar], whether it calls that good."""

    kind: ClassVar[str] = "ended"
    role: str
    read_bar: float | None = None
    calls_it_good: bool = True


@dataclass(frozen=True, slots=True)
class Heard(Event):
    """A role has heard what another said."""

    kind: ClassVar[str] = "heard"
    role: str
    speaker: str
    step: str


@dataclass(frozen=True, slots=True)
class Turned(Event):
    """A role sets a device otherwise, apart from any step."""

    kind: ClassVar[str] = "turned"
    role: str
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Declared(Event):
    """A role says what it found: the device that is not as it should be; or (no device) that the job is done."""

    kind: ClassVar[str] = "declared"
    role: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class RoadAsked(Event):
    """Yard control asks whoever is in charge for the road, for another movement of the exercise by its name."""

    kind: ClassVar[str] = "road asked"
    movement: str


@dataclass(frozen=True, slots=True)
class RoadAnswered(Event):
    """Whoever is in charge gives yard control the road, or keeps it."""

    kind: ClassVar[str] = "road answered"
    role: str
    movement: str
    gives: bool


@dataclass(frozen=True, slots=True)
class MovementPassed(Event):
    """The other movement has left the road."""

    kind: ClassVar[str] = "movement passed"
    movement: str


@dataclass(frozen=True, slots=True)
class Planted(Event):
    """The trainer lets a device stand otherwise from now on; nobody is told."""

    kind: ClassVar[str] = "planted"
    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Stopped(Event):
    """Somebody calls stop, or the trainer ends the sitting."""

    kind: ClassVar[str] = "stopped"
    role: str = ""


KINDS: Mapping[str, type[Event]] = {
    one.kind: one for one in (Took, Walked, Did, Overlooked, Ended, Heard, Turned, Declared, RoadAsked, RoadAnswered,
                              MovementPassed, Planted, Stopped)
}  # fmt: skip


def event_as_data(event: Event) -> dict[str, Any]:
    """An event as plain values."""
    return {"kind": event.kind, **asdict(event)}


def event_from_data(data: Mapping[str, Any]) -> Event:
    """The event that plain values mean. Raises InputError for one that nobody could mean."""
    kind = KINDS.get(str(data.get("kind")))
    if kind is None:
        raise InputError(Fault("no such event", path="kind", found=str(data.get("kind")), expected=", ".join(KINDS)))
    known = {field.name: field for field in fields(kind)}
    given = {key: value for key, value in data.items() if key != "kind"}
    wrong = [Fault("no such part of this event", path=key, expected=", ".join(known)) for key in given if key not in known]
    wrong += [Fault("not understood", path=key, found=repr(value)[:40], expected=str(known[key].type))
              for key, value in given.items() if key in known and not _fits(value, str(known[key].type))]  # fmt: skip
    if wrong:
        raise InputError(wrong)
    try:
        return kind(**given)
    except TypeError:
        missing = ", ".join(sorted(set(known) - set(given)))
        raise InputError(Fault("part of an event is missing", path=kind.kind, expected=missing)) from None


def _fits(value: Any, wanted: str) -> bool:
    if wanted == "bool":
        return isinstance(value, bool)
    if wanted.startswith("float"):
        is_number = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e9
        return is_number or (value is None and "None" in wanted)
    return isinstance(value, str) and len(value) <= 200
