"""The signatures of a train and a method: every cause in every degree, alone or in pairs, over a number of drawn tests.

Scenarios are numbered, and a number alone says what it is: blocks of numbers may be worked out by anybody, in any order, and
laid together. The same draws serve every cause, so that causes differ by themselves and not by the luck of their draws.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.causes import NOTHING, Cause, Weighed, causes_of
from headstock.brake_test.signatures import Floats, Runs, Scenario, readings_of
from headstock.local_rules.drawn_tests import DrawnTests
from headstock.reasoning.hypotheses import Rows

BLOCK = 512
"""Scenarios of a block."""


@dataclass(frozen=True)
class SignatureTask:
    """What is to be worked out: ``members`` drawn tests of each cause, or with ``pairs`` of every two causes at once.

    Numbered draw by draw, so that a block has few draws and what stands alike in one of them is worked out once.
    """

    air: AirUnderTest
    drawn: DrawnTests
    members: int
    seed: int = 1
    pairs: bool = False

    @cached_property
    def singles(self) -> tuple[Weighed, ...]:
        """Every cause in every degree."""
        return causes_of(self.air.tested, self.air.air, self.drawn)

    @cached_property
    def _together(self) -> tuple[tuple[Cause, ...], ...]:
        """Pairs of causes that can be there at once: not nothing, not one thing in two degrees."""
        faults = [one.cause for one in self.singles if one.cause != NOTHING]
        return tuple(
            (first, second) for first, second in combinations(faults, 2)
            if first.place != second.place or first.kind != second.kind
        )  # fmt: skip

    @property
    def count(self) -> int:
        """How many scenarios there are."""
        return (len(self._together) if self.pairs else len(self.singles)) * self.members

    def row_of(self, number: int) -> int:
        """Which row of ``Signatures`` the scenario of a number is."""
        draw, which = divmod(number, len(self.singles))
        return which * self.members + draw

    @property
    def blocks(self) -> int:
        """How many blocks of scenarios there are."""
        return -(-self.count // BLOCK)

    def scenario(self, number: int) -> Scenario:
        """The scenario of a number."""
        draw, which = divmod(number, self.count // self.members)
        return Scenario(self._together[which] if self.pairs else (self.singles[which].cause,), draw)

    def numbers(self, block: int) -> range:
        """The scenarios of a block."""
        return range(block * BLOCK, min(self.count, (block + 1) * BLOCK))

    def answer(self, block: int, runs: Runs) -> Floats:
        """The readings of a block (scenarios, readings)."""
        scenarios = [self.scenario(number) for number in self.numbers(block)]
        return readings_of(self.air, self.drawn, scenarios, self.seed, runs)

    @cached_property
    def key(self) -> str:
        """Digest of all that the readings hang on, but for the code."""
        tested = self.air.tested
        content = (
            [(unit.name, unit.first_end, unit.unit_type) for unit in tested.train.units], tested.train.joints,
            sorted(tested.values.items()), tested.front, tested.rear, sorted(tested.pipe_bar.items()), tested.method,
            self.air.spans, self.air.air.network,
            self.air.main_bar, sorted(tested.without_air), self.drawn, self.members, self.seed, self.pairs, BLOCK,
        )  # fmt: skip
        return hashlib.sha256(repr(content).encode()).hexdigest()[:32]


@dataclass(frozen=True, slots=True)
class Signatures:
    """True readings of every single cause (causes x members, readings), by cause."""

    task: SignatureTask
    readings: Floats

    def rows(self) -> Rows:
        """As rows of what each cause predicts."""
        cause = np.repeat(np.arange(len(self.task.singles)), self.task.members)
        return Rows(self.readings, cause, len(self.task.singles))

    def of_cause(self, number: int) -> Floats:
        """The readings of one cause (members, readings)."""
        first = number * self.task.members
        return self.readings[first : first + self.task.members]

    def prior(self) -> Floats:
        """The odds of each cause before anything is read."""
        return np.array([one.prior for one in self.task.singles])


def laid_together(task: SignatureTask, blocks: Sequence[Floats]) -> Signatures:
    """The whole of single causes from its blocks, which lie draw by draw."""
    by_draw = np.concatenate(blocks, axis=0)
    readings = np.empty_like(by_draw)
    readings[[task.row_of(number) for number in range(task.count)]] = by_draw
    return Signatures(task, readings)
