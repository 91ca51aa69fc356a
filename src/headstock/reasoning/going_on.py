"""Running an order in which somebody went wrong, the rest carried on as people would, over states of bits.

It ends when somebody notices, or when the job is over. A line left out, moved or done wrongly is put into the right order;
the right run's states are kept, so that a run begins where the order first differs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from headstock.reasoning.acts import Act, ActMaker
from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.judge import Judge
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Surroundings
from headstock.reasoning.variable import Fact

Means = Literal["word", "hand", "sight", "trial", "noise", "look"]
"""By what somebody notices: a word not said, a thing in hand, one in sight, a trial without answer, a noise, a look."""


@dataclass(frozen=True, slots=True)
class Seen:
    """Somebody notices: at which place of the script, at which line (past the last: the end), by what, which bits tell it."""

    at: int
    line: int
    means: Means
    mask: int


@dataclass(frozen=True, slots=True)
class Course:
    """How a run went: (place in the script, constraint, state) for each constraint when it broke; who noticed; the last state."""

    broken: tuple[tuple[int, int, int], ...]
    seen: Seen | None
    state: int
    standing: int


Moment = tuple[int, int, int]
"""State, words believed, constraints standing broken."""


class GoingOn:
    """Runs scripts of acts against one right order."""

    def __init__(self, order: Sequence[Step], domain: Domain, around: Surroundings) -> None:
        self.order, self.domain = tuple(order), domain
        self.maker = ActMaker(self.order, domain, around)
        self.bits = self.maker.bits
        self.judge = Judge(domain.constraints, self.bits)
        self.ears = Judge(around.heard, self.bits)
        self.follows = self.maker.follows
        self.follow_reads = sum(1 << bit for bit in self._read_bits())
        self.acts = [self.maker.right(line) for line in range(len(self.order))]
        self.goal = self.bits.mask(domain.goal)
        state = self.bits.start(domain)
        self.deaf = self.ears.all(state)
        self.moments: list[Moment] = [(state, 0, self.judge.all(state))]
        self.right = self._right_run()

    def _read_bits(self) -> set[int]:
        tests = [test for row in self.follows for test in row[0]]
        return {bit for test in tests for bit in range(test.bit_length()) if test >> bit & 1}

    def _right_run(self) -> Course:
        """The right order itself, its moments kept."""
        broken: list[tuple[int, int, int]] = []
        seen: Seen | None = None
        for place in range(len(self.acts)):
            course, moment = self._run(self.acts[: place + 1], place, is_whole=False)
            self.moments.append(moment)
            broken += course.broken
            seen = seen or course.seen
        state, believed, standing = self.moments[-1]
        return Course(tuple(broken), seen or self._at_the_end(believed, len(self.acts)), state, standing)

    def run(self, script: Sequence[Act], at: int = 0, to_the_end: bool = False) -> Course:
        """A script that is the right order up to place ``at``; ``to_the_end``: go on even after somebody has noticed."""
        return self._run(script, at, to_the_end)[0]

    def _run(self, script: Sequence[Act], at: int, to_the_end: bool = False, is_whole: bool = True) -> tuple[Course, Moment]:
        state, believed, standing = self.moments[at]
        broken: list[tuple[int, int, int]] = []
        seen: Seen | None = None
        for place in range(at, len(script)):
            act = script[place]
            if act.words & ~believed or act.noticed & ~state:
                seen = seen or self._noticed(place, act, state, believed)
                if not to_the_end and is_whole:
                    break
            before = state
            state = self.after(act, state)
            believed = believed & act.believe_keep | act.believe_gain
            if state != before:
                now = self.judge.after(state, state ^ before, standing)
                if now & ~standing:
                    broken += [(place, number, state) for number in _numbers(now & ~standing)]
                standing = now
                if self.ears.constraints and (noise := self._heard(state, state ^ before)):
                    seen = seen or Seen(place, act.line, "noise", noise)
            if act.looks & ~state:
                seen = seen or Seen(place, act.line, "look", act.looks & ~state)
            if act.chances and (failed := self._failed(act, before)):
                seen = seen or Seen(place, act.line, "trial", failed)
            if seen is not None and not to_the_end and is_whole:
                break
        if is_whole and seen is None:
            seen = self._at_the_end(believed, len(script))
        return Course(tuple(broken), seen, state, standing), (state, believed, standing)

    def after(self, act: Act, state: int) -> int:
        """The state after an act, with what follows from it by itself."""
        before = state
        if not act.stay & state:
            state = state & act.at_keep | act.at_gain
        state = state & act.keep | act.gain
        if (state ^ before) & self.follow_reads:
            state = self._followed(state)
        for chance in act.chances:
            if all(test & before for test in chance.tests):
                state = state & chance.keep | chance.gain
        if act.chances and (state ^ before) & self.follow_reads:
            state = self._followed(state)
        return state

    def _followed(self, state: int) -> int:
        for tests, keep, gain, otherwise in self.follows:
            if all(test & state for test in tests):
                state = state & keep | gain
            elif otherwise:
                state = state & keep | otherwise
        return state

    def _failed(self, act: Act, before: int) -> int:
        """Effects that whoever tried sees not to have come true."""
        if not any(chance.seen for chance in act.chances):
            return 0
        state = self.after(act, before)
        return sum(chance.gain for chance in act.chances if chance.seen and not state & chance.gain)

    def _noticed(self, place: int, act: Act, state: int, believed: int) -> Seen:
        """A word that is missing, or else a thing that is not as it must be."""
        wrong = act.noticed & ~state
        unsaid = act.unsaid & wrong
        if act.words & ~believed or unsaid:
            return Seen(place, act.line, "word", unsaid or act.words & ~believed)
        touched = self.bits.any_of(act.step.touched())
        return Seen(place, act.line, "hand" if wrong & touched else "sight", wrong)

    def _heard(self, state: int, changed: int) -> int:
        """Conditions that tell of themselves now; what was so before the job began tells nothing new."""
        return self.ears.after(state, changed, 0) & ~self.deaf

    def _at_the_end(self, believed: int, place: int) -> Seen | None:
        """Whoever was to be told something by the end misses the word."""
        missing = self.maker.awaited & ~believed
        return Seen(place, len(self.order), "word", missing) if missing else None

    def as_done(self, script: Sequence[Act], at: int = 0) -> tuple[Step, ...]:
        """The script as plain steps, with the effects that really came about: for whoever would check it otherwise."""
        state = self.moments[at][0]
        steps = [act.step for act in self.acts[:at]]
        for act in script[at:]:
            before, state = state, self.after(act, state)
            steps.append(self._as_done(act.step, before, state))
        return tuple(steps)

    def _as_done(self, step: Step, before: int, after: int) -> Step:
        role_at = place_key(step.role)
        effects: list[Fact] = []
        voided: list[str] = []
        for key, value in self.bits.facts((before ^ after) & after):
            if key != role_at:
                effects.append((key, value))
                if key in self.domain.voids:
                    voided.append(self.domain.voids[key][0])
        set_keys = {key for key, _ in effects}
        effects += [(key, self.bits.value(after, key)) for key in dict.fromkeys(voided) if key not in set_keys]
        here, there = self.bits.value(before, role_at), self.bits.value(after, role_at)
        return replace(step, place=here, goes_to=there, effects=tuple(effects))


def _numbers(mask: int) -> list[int]:
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found
