"""What is practised: a job with its instruction, what is hidden in it, how colleagues go wrong, how strictly it is played."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from headstock.brake_test.causes import Cause
from headstock.devices.scene import TEST
from headstock.practice.instruction_ties import earlier_lines
from headstock.procedures.noticing import surroundings_of
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Surroundings

LapseKind = Literal["left out", "not really looked", "not said"]


@dataclass(frozen=True, slots=True)
class Hidden:
    """Something that stands otherwise than everybody was told, from the beginning: a device's state by its key."""

    key: str
    value: str


@dataclass(frozen=True, slots=True)
class Lapse:
    """A mistake of a colleague played by the computer, at a line of the instruction (1 is the first).

    Left out: the line is not done, and its colleague goes on; not said: the same of a line that is said and nothing else. Not
    really looked: what should be seen there is taken for seen, rested on and passed on.
    """

    line: int
    kind: LapseKind


@dataclass(frozen=True, slots=True)
class OtherMovement:
    """Another movement that wants the road: yard control asks for it in these words so long [s] after a line was done (1 is the
    first); where it is given the movement is on the road for ``lasts_s`` [s]."""

    name: str
    words: str
    line: int
    after_s: float
    lasts_s: float


@dataclass(frozen=True)
class Exercise:
    """One exercise; ``order`` is what the instruction says; ``faults`` lie in the air, where no device's state says them.

    ``holds_at_unsafe``: an unsafe act stops the sitting; else it goes on and is talked through. ``learning``: phrases and the
    next line of the instruction are shown. ``weather`` and ``light`` are told to everybody, in words.
    """

    title: str
    task: AttachTask
    domain: Domain
    order: tuple[Step, ...]
    hidden: tuple[Hidden, ...] = ()
    faults: tuple[Cause, ...] = ()
    lapses: tuple[Lapse, ...] = ()
    movements: tuple[OtherMovement, ...] = ()
    weather: str = ""
    light: str = ""
    holds_at_unsafe: bool = False
    learning: bool = False
    seed: int = 0
    kept: dict[tuple[str, str], object] = field(default_factory=dict, compare=False, repr=False)
    """What was worked out of it once."""

    @cached_property
    def around(self) -> Surroundings:
        """How the world answers, and what people notice of it."""
        return surroundings_of(self.task, self.domain)

    @cached_property
    def steps(self) -> Mapping[tuple[str, str], Step]:
        """Every step that anybody could take, by role and key."""
        return {step.ident: step for step in self.domain.steps}

    @cached_property
    def stages(self) -> Mapping[tuple[str, str], str]:
        """The stage of the brake test that a step is, by role and key."""
        return {step.ident: value for step in self.domain.steps for key, value in step.effects if key == TEST}

    @cached_property
    def earlier(self) -> tuple[frozenset[int], ...]:
        """For each line of the instruction (0 is the first) the earlier ones that it must not come before."""
        return earlier_lines(self.order)

    @property
    def roles(self) -> tuple[str, ...]:
        """Who there is to be played."""
        return tuple(self.domain.people)
