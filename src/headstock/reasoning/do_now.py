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
    the way (those that this one precedes on every way are no matter); ``again[step]``: no step at all does. A step that takes
    somebody elsewhere, or at a place where another role's step wants him, is never brought forward.
    """

    def __init__(self, task: Task, domain: Domain, marks: Landmarks) -> None:
        wanted = task.goal
        for need in task.step_need:
            wanted |= need
        watched = {fact for step in task.steps for fact in step.needs if fact[0] != place_key(step.role)}
        self.first: list[bool] = []
        self.again: list[bool] = []
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

    def is_sound(self, step: int, taken: int) -> bool:
        """Whether a step that every way on contains can be brought forward, after the steps of a mask were taken."""
        return self.again[step] or (self.first[step] and not taken >> step & 1)
