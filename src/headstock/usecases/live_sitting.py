"""A sitting as it is played: its clock, the colleagues, who looks; each event kept before anybody is told of it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.practice.colleague import Colleagues
from headstock.practice.events import Event, event_as_data, event_from_data
from headstock.practice.exercise import Exercise
from headstock.practice.playing import after, folded
from headstock.practice.sitting import Sitting, at_time
from headstock.usecases.sitting_log_port import SittingLog

FASTEST = 60.0
RECHECK_S = 1.0
"""How often colleagues who wait look again."""
TICK_S = 0.02
"""Whoever asks sooner gets what was shown just now: many look at one sitting."""
MOST_AT_ONCE = 25
"""Acts of colleagues in one tick: more wait for the next."""


@dataclass
class LiveSitting:
    """One sitting in hand. All methods may be called from any thread."""

    code: str
    exercise_name: str
    exercise: Exercise
    log: SittingLog
    sitting: Sitting
    t_s: float = 0.0
    rate: float = 1.0
    is_held: bool = True
    changes: int = 0
    wall: Callable[[], float] = time.monotonic
    lock: threading.RLock = field(default_factory=threading.RLock)

    def __post_init__(self) -> None:
        self._wall_s, self._shown, self._look_s, self._marked_s = self.wall(), self.sitting, 0.0, self.t_s
        self.colleagues = Colleagues(self.exercise)

    @property
    def shown(self) -> Sitting:
        """The sitting at this moment of its clock."""
        return self._shown

    def act(self, data: dict[str, Any]) -> Sitting:
        """Something a person does now; kept, then told. Raises InputError, StorageError; nothing is changed then."""
        with self.lock:
            self.tick()
            event = event_from_data({**data, "t_s": max(self.t_s, self.sitting.t_s)})
            self._happen(event)
            return self.sitting

    def _happen(self, event: Event) -> None:
        before = len(self.sitting.unsafe)
        then = after(self.sitting, event)
        self.log.add(self.code, event_as_data(event))
        self.sitting, self._shown, self._look_s = then, then, 0.0
        self.changes += 1
        if then.is_over or (self.exercise.holds_at_unsafe and len(then.unsafe) > before):
            self.is_held = True

    def hold(self, is_held: bool) -> None:
        """Stop the clock, or let it go on."""
        with self.lock:
            self.tick()
            self.is_held = is_held or self.sitting.is_over
            self._wall_s = self.wall()
            self.changes += 1

    def run_at(self, rate: float) -> None:
        """So many seconds of the clock for one of ours. Raises InputError."""
        if not 1.0 <= rate <= FASTEST:
            raise InputError(Fault("not a rate of the clock", found=f"{rate:g}", expected=f"1 to {FASTEST:g}"))
        with self.lock:
            self.tick()
            self.rate = rate
            self.changes += 1

    def glance(self) -> Sitting:
        """As it is now or was a moment ago, for those who look all the time."""
        return self._shown if self.is_held or self.wall() - self._wall_s < TICK_S else self.tick()

    def tick(self) -> Sitting:
        """The clock moved on to this moment, and what colleagues do meanwhile."""
        with self.lock:
            wall_s = self.wall()
            if not self.is_held:
                self.t_s += (wall_s - self._wall_s) * self.rate
                self._let_colleagues()
                if self.t_s > self._shown.t_s:
                    self._shown = at_time(self._shown, self.t_s)
                if self.t_s >= self._marked_s + 1.0:
                    self._marked_s = self.t_s
                    self.log.mark_clock(self.code, self.t_s)
            self._wall_s = wall_s
            return self._shown

    def _let_colleagues(self) -> None:
        if self.t_s < self._look_s or all(self.sitting.is_played(role) for role in self.exercise.roles):
            return
        for _ in range(MOST_AT_ONCE):
            event = self.colleagues.next_event(self.sitting if self._look_s == 0.0 else self._shown)
            if event is None:
                self._look_s = self.t_s + RECHECK_S
                return
            if event.t_s > self.t_s:
                self._look_s = min(event.t_s, self.t_s + RECHECK_S)
                return
            self._happen(replace(event, t_s=max(event.t_s, self.sitting.t_s)))
            if self.is_held:
                return


def again(code: str, name: str, exercise: Exercise, log: SittingLog) -> LiveSitting:
    """A sitting that was kept, to the second at which its clock stood; held until somebody lets it go on."""
    kept = log.kept(code)
    if kept is None:
        raise InputError(Fault("no such sitting", found=code), cure="Ask the trainer for its code.")
    sitting = folded(exercise, (event_from_data(event) for event in kept.events))
    clock_s = max(kept.clock_s, sitting.t_s)
    return LiveSitting(code, name, exercise, log, at_time(sitting, clock_s), t_s=clock_s)
