"""All sittings in hand on this server, by their codes; those of before it was stopped come back when somebody asks."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable
from datetime import datetime

from headstock.base.errors import Fault, InputError
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.practice.events import event_as_data, event_from_data
from headstock.practice.exercise import Exercise
from headstock.practice.playing import folded
from headstock.usecases.exercise_file import exercise_path, load_exercise
from headstock.usecases.live_sitting import LiveSitting, again
from headstock.usecases.record_terms import name_key
from headstock.usecases.sitting_log_port import SittingLog

SIGNS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""No I, O, 0, 1: codes are read aloud."""
MOST_IN_HAND = 100
"""So many are kept at hand; of those that are over the earliest then go, and come back from their course when asked for."""
NO_NAME = "somebody"
"""What stands in place of a name that was taken out."""


def new_code() -> str:
    """A short code that nobody guesses at once."""
    return "".join(secrets.choice(SIGNS) for _ in range(5))


class Sittings:
    """Sittings by code."""

    def __init__(self, log: SittingLog, fleet: Fleet, engine: AirEngine) -> None:
        self.log, self.fleet, self.engine = log, fleet, engine
        self.on_planned: Callable[[], None] = lambda: None
        """Called when an exercise was planned, which then stays."""
        self._live: dict[str, LiveSitting] = {}
        self._exercises: dict[str, Exercise] = {}
        self._lock = threading.Lock()
        self._courses = threading.RLock()
        """Held while a course is taken in hand, copied or rewritten: what is written to it meanwhile would be lost."""

    def exercise(self, name: str) -> Exercise:
        """An exercise, planned once. Raises InputError, OutsideModelError."""
        if name not in self._exercises:
            self._exercises[name] = load_exercise(exercise_path(name), self.fleet, self.engine)[1]
            self.on_planned()
        return self._exercises[name]

    def begin(self, name: str) -> LiveSitting:
        """A new sitting of an exercise, its clock held. Raises InputError, StorageError."""
        exercise = self.exercise(name)
        code = new_code()
        self.log.begin(code, name, datetime.now().isoformat(" ", "seconds"))
        with self._lock:
            self._let_go()
            found = self._live[code] = LiveSitting(code, name, exercise, self.log, folded(exercise, ()))
        return found

    def _let_go(self) -> None:
        is_over = (code for code, live in list(self._live.items()) if live.sitting.is_over)
        for code in is_over:
            if len(self._live) < MOST_IN_HAND:
                return
            del self._live[code]

    def named(self, code: str) -> LiveSitting:
        """A sitting by its code. Raises InputError."""
        code = code.strip().upper()
        live = self._of(code)
        if live is not None:
            return live
        with self._courses:
            return self._of(code) or self._taken_in_hand(code)

    def _of(self, code: str) -> LiveSitting | None:
        with self._lock:
            return self._live.get(code)

    def _taken_in_hand(self, code: str) -> LiveSitting:
        kept = self.log.kept(code) if code.isascii() and code.isalnum() and len(code) <= 12 else None
        if kept is None:
            raise InputError(Fault("no such sitting", found=code, expected="the code on the trainer's sheet"),
                             cure="Ask the trainer for its code.")  # fmt: skip
        found = again(code, kept.exercise, self.exercise(kept.exercise), self.log)
        with self._lock:
            self._let_go()
            return self._live.setdefault(code, found)

    def branch(self, code: str, until_s: float) -> LiveSitting:
        """A new sitting that goes on from an earlier moment of another. Raises InputError, StorageError."""
        with self._courses:
            old = self.named(code)
            kept = self.log.kept(old.code)
            new = self.begin(old.exercise_name)
            events = [event_from_data(event) for event in (kept.events if kept is not None else ())]
            for event in events:
                if event.t_s <= until_s:
                    self.log.add(new.code, event_as_data(event))
            self.log.mark_clock(new.code, until_s)
            with self._lock:
                del self._live[new.code]
            return self.named(new.code)

    def unname(self, person: str) -> int:
        """Take somebody's name out of the courses of all sittings, those too that go on; returns of how many."""
        with self._courses:
            return sum(self._unnamed(code, person) for code in self.log.codes())

    def _unnamed(self, code: str, person: str) -> bool:
        """Whether a sitting had the name. One that is over comes back from its course; one that goes on goes on."""
        live = self._of(code)
        if live is None:
            return self.log.unname(code, person, NO_NAME)
        with live.lock:
            is_changed = self.log.unname(code, person, NO_NAME)
            if is_changed and live.sitting.is_over:
                with self._lock:
                    self._live.pop(code, None)
            elif is_changed:
                _rename(live, person)
        return is_changed

    @property
    def in_hand(self) -> tuple[LiveSitting, ...]:
        """Those that somebody has asked for since the server began."""
        with self._lock:
            return tuple(self._live.values())


def _rename(live: LiveSitting, person: str) -> None:
    """Whoever has roles under a name has them under none."""
    for role, name in live.sitting.people.items():
        if name_key(name) == name_key(person):
            live.act({"kind": "took", "role": role, "person": NO_NAME})
