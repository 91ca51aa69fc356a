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
from headstock.practice.live_air import AirAhead
from headstock.practice.playing import after, folded
from headstock.practice.sitting import Sitting, at_time, with_air
from headstock.usecases.sitting_log_port import SittingLog

FASTEST = 60.0
RECHECK_S = 1.0
"""How often colleagues who wait look again."""
AHEAD_S = 1.0
"""How far ahead the air is worked out for those who look all the time, in our seconds: so it is until somebody moves a thing."""
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
        self._ahead: AirAhead | None = None
        self._glimpse = self.sitting
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
        self.sitting, self._look_s = then, 0.0
        self._show(then)
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

    @property
    def colleagues_look(self) -> bool:
        """Whether colleagues look now at what there is to do: that takes its time, and what they do is put on the disk."""
        return not self.is_held and self.t_s >= self._look_s and not self._nothing_to_play

    def glance(self) -> Sitting:
        """What gauges and clock show now, for those who look all the time; while somebody acts, what they showed last.

        It waits for nobody and lets nobody act: whoever looks all the time calls ``tick`` where ``colleagues_look``.
        """
        if self.lock.acquire(blocking=False):
            try:
                if not self.is_held:
                    self._move_clock()
                self._glimpse = self._seen() if self.t_s > self._shown.t_s and not self.is_held else self._shown
            finally:
                self.lock.release()
        return self._glimpse

    def tick(self) -> Sitting:
        """The clock moved on to this moment, and what colleagues do meanwhile."""
        with self.lock:
            if not self.is_held:
                self._move_clock()
                self._let_colleagues()
                if self.t_s > self._shown.t_s:
                    self._show(at_time(self._shown, self.t_s))
            self._wall_s = self.wall()
            return self._shown

    def _move_clock(self) -> None:
        """The clock to this moment, and how far it is kept."""
        wall_s = self.wall()
        self.t_s, self._wall_s = self.t_s + (wall_s - self._wall_s) * self.rate, wall_s
        if self.t_s >= self._marked_s + 1.0:
            self._marked_s = self.t_s
            self.log.mark_clock(self.code, self.t_s)

    def _show(self, sitting: Sitting) -> None:
        self._shown, self._ahead = sitting, None

    def _seen(self) -> Sitting:
        """Between two moments that were worked out."""
        if self._shown.air is None:
            return replace(self._shown, t_s=self.t_s)
        if self._ahead is None or self.t_s > self._ahead.last.t_s:
            if self._ahead is not None:
                self._show(with_air(self._shown, self._ahead.last, self._ahead.last.t_s))
            assert self._shown.air is not None
            self._ahead = self._shown.air.ahead(self.t_s + AHEAD_S * self.rate)
        return replace(self._shown, t_s=self.t_s, air=self._ahead.at(self.t_s))

    @property
    def _nothing_to_play(self) -> bool:
        return all(self.sitting.is_played(role) for role in self.exercise.roles) and not self.exercise.movements

    def _let_colleagues(self) -> None:
        if not self.colleagues_look:
            return
        if self.t_s > self._shown.t_s and self._look_s:
            self._show(at_time(self._shown, self.t_s))
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
