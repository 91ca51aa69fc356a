"""Steps that may be taken at once, alone, without losing the cheapest way."""

from __future__ import annotations

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task
from headstock.reasoning.landmarks import Landmarks
from headstock.reasoning.masks import bits_of


class DoNow:
    """Which steps can be brought forward to now in any way that contains them.

    Let a step be open where its role already stands, and let every way on from here contain it. Take the cheapest way on and
    bring the first taking of the step forward to now. The way can still be taken if nothing between needs what the step
    loses, and nothing between loses what it gives; it walks no further, since leaving out a stop never lengthens a walk, and
    the stop brought forward costs none. ``first[step]``: no step that can come before the first taking of this one stands in
    the way (those that this one precedes on every way are no matter); ``again[step]``: no step at all does. Where neither
    holds, it is asked of the state: can any of those ``against`` it still be taken before it? A step that takes somebody
    elsewhere, or at a place where another role's step wants him, is never brought forward.
    """

    def __init__(self, task: Task, domain: Domain, marks: Landmarks, never: int = 0) -> None:
        self.needs, self.gains = task.step_need, list(task.step_gain)
        for move in task.moves:  # with where a walk to it ends
            self.gains[move.step] |= move.gain
        self.can_be = [number for number in range(len(task.steps)) if not never >> number & 1]
        wanted = task.goal
        for need in task.step_need:
            wanted |= need
        watched = {fact for step in task.steps for fact in step.needs if fact[0] != place_key(step.role)}
        self.first: list[bool] = []
        self.again: list[bool] = []
        self.against: list[int | None] = []
        for number, step in enumerate(task.steps):
            gain, lose = task.step_gain[number] & wanted, task.step_lose[number]
            against = 0
            for other in range(len(task.steps)):
                if other != number and (task.step_lose[other] & gain or task.step_need[other] & lose):
                    against |= 1 << other
            bound_here = step.goes_to is not None or (place_key(step.role), step.place or "") in watched
            later = sum(1 << other for other in bits_of(against) if marks.steps_before[other] >> number & 1)
            self.first.append(not bound_here and not against & ~later)
            self.again.append(not bound_here and not against)
            self.against.append(None if bound_here else against)

    def is_sound(self, step: int, taken: int, state: int | None = None) -> bool:
        """Whether a step that every way on contains can be brought forward, after the steps of a mask were taken.

        With a state it is asked whether it holds there; without one whether it does wherever the step is open.
        """
        if self.again[step] or (self.first[step] and not taken >> step & 1):
            return True
        against = self.against[step]
        return state is not None and against is not None and not self._can_come_before(step, against, state)

    def _can_come_before(self, step: int, against: int, state: int) -> bool:
        """Whether one of the steps of a mask can be taken before the next taking of a step, were nothing ever lost."""
        needs, gains = self.needs, self.gains
        left, is_grown = [number for number in self.can_be if number != step], True
        while is_grown:
            is_grown, waiting = False, []
            for number in left:
                if needs[number] & ~state:
                    waiting.append(number)
                elif against >> number & 1:
                    return True
                elif gains[number] & ~state:
                    state |= gains[number]
                    is_grown = True
            left = waiting
        return False
