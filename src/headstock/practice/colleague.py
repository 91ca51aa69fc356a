"""Roles that nobody took, played by the computer: they follow the instruction, wait for others, and go wrong as planted."""

from __future__ import annotations

from headstock.practice.acting import least_s
from headstock.practice.events import Declared, Did, Ended, Event, Overlooked, Walked
from headstock.practice.exercise import Exercise
from headstock.practice.instruction_ties import lines_done
from headstock.practice.other_movements import next_of_movements
from headstock.practice.playing import after
from headstock.practice.role_view import gauges_in_sight
from headstock.practice.sitting import Sitting
from headstock.practice.slips import NOT_LOOKED
from headstock.practice.stage_reading import stage_of, truth_of
from headstock.reasoning.step import Step

LONGEST_WAIT_S = 240.0
"""A colleague who waits for a pipe says after this how it stands."""


class Colleagues:
    """The computer's part in a sitting of one exercise, yard control with it; it remembers nothing of its own."""

    def __init__(self, exercise: Exercise) -> None:
        self.exercise = exercise
        self.lapses = {lapse.line - 1: lapse.kind for lapse in exercise.lapses}
        self.left_out = {line for line, kind in self.lapses.items() if kind != NOT_LOOKED}

    def next_event(self, sitting: Sitting) -> Event | None:
        """What one of them does next, with its time, if nothing else happens before; None: they all wait."""
        if sitting.is_over:
            return None
        roles = (role for role in self.exercise.roles if not sitting.is_played(role))
        found = [event for role in roles if (event := self._next_of(sitting, role)) is not None]
        found += [event] if (event := next_of_movements(sitting)) is not None else []
        sound = (event for event in sorted(found, key=lambda event: event.t_s) if self._is_sound(sitting, event))
        return next(sound, None)

    def _is_sound(self, sitting: Sitting, event: Event) -> bool:
        """Whether it breaks no rule: colleagues know what must not be; what is hidden from them they cannot know."""
        if self.exercise.hidden or sitting.planted or self.lapses:
            return True
        return len(after(sitting, event).unsafe) == len(sitting.unsafe)

    def _next_of(self, sitting: Sitting, role: str) -> Event | None:
        if role in sitting.doing:
            return self._end_of(sitting, role)
        line = self._next_line(sitting, role)
        if line is None:
            return None
        step = self.exercise.order[line]
        if line not in self.lapses and self._saw_otherwise(sitting, role, step):
            return self._declared(sitting, role, step)
        ready_s = max(sitting.t_s, self._last_s(sitting, role) + step.duration_s)
        if step.place is not None and sitting.place_of(role) != step.place:
            walk_s = self.exercise.domain.walk_s(sitting.place_of(role), step.place)
            return None if walk_s is None else Walked(max(sitting.t_s, self._last_s(sitting, role) + walk_s), role, step.place)
        if not self._is_ready(sitting, line, step):
            return None
        when_s = ready_s if step.ident not in self.exercise.stages else sitting.t_s
        return (Overlooked if line in self.lapses else Did)(when_s, role, step.key)

    def _next_line(self, sitting: Sitting, role: str) -> int | None:
        """Its first line that is neither done nor planned to be left out."""
        done = set(lines_done(self.exercise.order, [step for _, step in sitting.done])[0])
        own = (line for line, step in enumerate(self.exercise.order) if step.role == role)
        return next((line for line in own if line not in done and line not in self.left_out), None)

    def _is_ready(self, sitting: Sitting, line: int, step: Step) -> bool:
        """Whether all that it rests on has been done, and nothing that this role can tell speaks against it."""
        done = set(lines_done(self.exercise.order, [one for _, one in sitting.done])[0]) | self.left_out
        if not self.exercise.earlier[line] <= done:
            return False
        hidden = {one.key for one in self.exercise.hidden} | {key for key, _ in sitting.planted}
        against = sitting.run.against(len(sitting.done) + 1, step)
        return all(one.fact is not None and (one.fact[0] in hidden or self._is_lapse(one.fact)) for one in against)

    def _is_lapse(self, fact: tuple[str, str]) -> bool:
        """Whether a planted mistake is why a fact is not so or not known."""
        steps = (self.exercise.order[line] for line in self.lapses)
        return any(fact in (*step.effects, *step.shows, *step.tells) for step in steps)

    def _end_of(self, sitting: Sitting, role: str) -> Event:
        """Ends what it is at when the rules' time is over and the pipe is where it should be."""
        doing = sitting.doing[role]
        least = max(least_s(sitting, doing.step), doing.step.duration_s)
        earliest = doing.since_s + least
        pipes = [fact for fact in doing.step.effects if fact[0].endswith(".brake_pipe")]
        waits = sitting.air is not None and any(sitting.state[key] != value for key, value in pipes)
        if waits and sitting.t_s < doing.since_s + LONGEST_WAIT_S:
            earliest = max(earliest, sitting.t_s + 2.0)
        stage = stage_of(sitting, doing.step)
        truth = truth_of(sitting, stage) if stage is not None and sitting.t_s >= earliest - 1e-6 else None
        good, gauges = truth is None or truth[1], gauges_in_sight(sitting, role)
        read_bar = gauges[0].shows_bar if truth is not None and gauges else None
        return Ended(max(sitting.t_s, earliest), role, read_bar, good)

    def _last_s(self, sitting: Sitting, role: str) -> float:
        return max((note.t_s for note in sitting.notes if note.role == role), default=0.0)

    @staticmethod
    def _saw_otherwise(sitting: Sitting, role: str, step: Step) -> bool:
        own = [note for note in sitting.notes if note.role == role]
        return bool(own) and own[-1].kind in ("saw", "noticed") and own[-1].text.startswith(step.key)

    @staticmethod
    def _declared(sitting: Sitting, role: str, step: Step) -> Event | None:
        """It says once what is not as it should be."""
        wrong = [key for key, value in step.shows if sitting.state[key] != value]
        return Declared(sitting.t_s, role, wrong[0]) if wrong else None
