"""A sitting: how everything stands after its events. A pure fold: the same events, the same sitting, to the last bit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.brake_test.forecast import TrainUnderTest
from headstock.devices.scene import pipe_key
from headstock.practice.exercise import Exercise
from headstock.practice.live_air import LiveAir, air_at_first, air_model_of
from headstock.procedures.cab_work import pipe_bar
from headstock.reasoning.constraint import place_key
from headstock.reasoning.run import Run, Told
from headstock.reasoning.step import Step

NoteKind = Literal["did", "began", "went", "saw", "noticed", "said", "heard", "unsafe", "misread", "end", "found", "false find",
                   "trainer", "stopped", "slip"]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Note:
    """A line of the talk-through: when [s], by whom, in words; ``hurts``: what it can lead to; ``about``: the rule or thing;
    ``by_person``: a person had the role then, not the computer.
    """

    t_s: float
    role: str
    kind: NoteKind
    text: str
    hurts: str = ""
    about: str = ""
    by_person: bool = False


@dataclass(frozen=True, slots=True)
class Doing:
    """A step that takes its time, and since when [s]."""

    step: Step
    since_s: float


@dataclass(frozen=True, slots=True)
class Said:
    """Words that were said and not yet heard, and what they hand over: as it was known when they were said."""

    step: Step
    told: Told


@dataclass(frozen=True, slots=True)
class MovementStands:
    """How far it is with another movement that wants the road: since when [s], how often yard control has called."""

    stage: Literal["asked", "given", "kept", "passed"]
    since_s: float
    calls: int = 1


@dataclass(frozen=True)
class Sitting:
    """How a sitting stands. ``done``: steps in the order in which they were done, with their times [s];
    ``done_by_people``: whether a person did each; ``told``: words that were said and not yet heard.
    """

    exercise: Exercise
    t_s: float
    run: Run
    air: LiveAir | None
    people: Mapping[str, str] = field(default_factory=dict)
    doing: Mapping[str, Doing] = field(default_factory=dict)
    told: tuple[Said, ...] = ()
    began_s: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    done: tuple[tuple[float, Step], ...] = ()
    done_by_people: tuple[bool, ...] = ()
    notes: tuple[Note, ...] = ()
    planted: tuple[tuple[str, str], ...] = ()
    movements: Mapping[str, MovementStands] = field(default_factory=dict)
    events: int = 0
    is_over: bool = False
    is_declared_done: bool = False

    @property
    def state(self) -> Mapping[str, str]:
        """How everything really stands."""
        return self.run.state

    def place_of(self, role: str) -> str:
        """Where a role stands."""
        return self.run.state[place_key(role)]

    def is_played(self, role: str) -> bool:
        """Whether a person has this role."""
        return bool(self.people.get(role))

    @property
    def unsafe(self) -> tuple[Note, ...]:
        """Every unsafe act so far."""
        return tuple(note for note in self.notes if note.kind in ("unsafe", "misread"))

    def noted(self, role: str, kind: NoteKind, text: str, hurts: str = "", about: str = "") -> Sitting:
        """With one line more for the talk-through."""
        return replace(self, notes=(*self.notes, Note(self.t_s, role, kind, text, hurts, about, self.is_played(role))))


def begun(exercise: Exercise) -> Sitting:
    """The beginning: as found, with what is hidden. Raises InputError for something hidden that is not there."""
    domain = exercise.domain
    _check_hidden(exercise)
    start = {**domain.start, **{hidden.key: hidden.value for hidden in exercise.hidden}}
    run = Run.begin(replace(domain, start=start))
    return Sitting(exercise, 0.0, run, _air_of(exercise, start))


def _check_hidden(exercise: Exercise) -> None:
    variables = exercise.domain.variables
    wrong = [Fault("nothing of that name in this train", path="hidden", found=hidden.key) for hidden in exercise.hidden
             if hidden.key not in variables]  # fmt: skip
    known = [hidden for hidden in exercise.hidden if hidden.key in variables]
    wrong += [Fault("not a state of this", path=one.key, found=one.value, expected=" or ".join(variables[one.key].domain))
              for one in known if one.value not in variables[one.key].domain]  # fmt: skip
    if wrong:
        raise InputError(wrong)


def _air_of(exercise: Exercise, start: Mapping[str, str]) -> LiveAir | None:
    """The air as found; None where the engine knows none of it: an adapter's own hose, what a part-made couple lets by."""
    task = exercise.task
    if (task.adapter is not None and task.adapter.has_hose) or task.couple is not None:
        return None
    portions = ((task.moving, task.moving_units, task.driven_from), (task.standing, task.standing_units, task.standing_cab))
    empty = frozenset(unit.name for unit in task.standing_units) if task.rescue is not None else frozenset[str]()
    try:
        shown_bar = {unit.name: pipe_bar(task.train, cab, start[pipe_key(portion)]) for portion, units, cab in portions
                     for unit in units}  # fmt: skip
        tested = TrainUnderTest(task.train, start, task.controls, task.rear_cab, shown_bar, task.rules, task.method, empty,
                                task.place.atmosphere_pa)  # fmt: skip
        return air_at_first(air_model_of(tested, exercise.faults), start, shown_bar, empty)
    except (OutsideModelError, KeyError):
        return None


def at_time(sitting: Sitting, t_s: float) -> Sitting:
    """The sitting at a later moment, nothing done meanwhile but what the air does."""
    if sitting.air is None:
        return replace(sitting, t_s=t_s)
    return with_air(sitting, sitting.air.until(t_s), t_s)


def with_air(sitting: Sitting, air: LiveAir, t_s: float) -> Sitting:
    """The sitting at a later moment, with the air as it is then."""
    return replace(sitting, t_s=t_s, air=air, run=_with_pipes(sitting, air))


CHARGED_WITHIN_BAR, DRAWN_WITHIN_BAR, EMPTY_BAR = 0.2, 0.15, 0.2
"""How near to the valve's own pressures a pipe counts as charged, drawn and empty (common practice, no source)."""


def _with_pipes(sitting: Sitting, air: LiveAir) -> Run:
    """The portions' pipes named by what the air says; between two names it keeps the one it had."""
    task, run = sitting.exercise.task, sitting.run
    changed = {}
    for portion, units in ((task.moving, task.moving_units), (task.standing, task.standing_units)):
        key, named = pipe_key(portion), _named(air, {unit.name for unit in units})
        if named is not None and run.state[key] != named:
            changed[key] = named
    if not changed:
        return run
    run = run.copy()
    for key, value in changed.items():
        run.state[key] = value
        run.touches[key] = run.touches.get(key, 0) + 1
    return run


def _named(air: LiveAir, units: set[str]) -> str | None:
    """What a portion's pipe is called, from end to end; where valves of the train differ, each is right."""
    valves = air.model.valves.values()
    shown = [air.pipe_bar(cab) for cab in air.model.cabs if cab.unit in units]
    if not shown:
        return None
    if max(shown) <= EMPTY_BAR:
        return "empty"
    if min(shown) >= min(valve.set_pressure_bar for valve in valves) - CHARGED_WITHIN_BAR:
        return "charged"
    return "drawn" if max(shown) <= max(valve.ends_at_bar("full") for valve in valves) + DRAWN_WITHIN_BAR else None
