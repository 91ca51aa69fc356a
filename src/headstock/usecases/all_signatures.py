"""An engineer asks for all of it: what a test reads under every fault alone and every two at once, scenario by scenario.

Kept as a table for whoever reckons further. It says nothing of what a reading would mean on a real train.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.causes import NOTHING, Cause
from headstock.brake_test.signature_set import SignatureTask
from headstock.brake_test.signatures import outside_limits
from headstock.brake_test.stage_readings import ReadingPlace, reading_places
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.usecases.test_signatures import MEMBERS, task_of_job

BlockByBlock = Callable[[SignatureTask], Iterator[NDArray[np.float64]]]
"""Whoever works out the blocks of a task, one after another."""


@dataclass(frozen=True, slots=True)
class SignatureRow:
    """One scenario: its faults (none: healthy), the number of its draw, its readings, how many are outside their limits."""

    faults: tuple[Cause, ...]
    draw: int
    readings: tuple[float, ...]
    outside: int


@dataclass(frozen=True)
class JobSignatures:
    """What is to be worked out: faults alone, then pairs where asked for; ``places``: the readings in order."""

    singles: SignatureTask
    pairs: SignatureTask | None
    places: tuple[ReadingPlace, ...]

    @property
    def count(self) -> int:
        """How many scenarios there are."""
        return self.singles.count + (self.pairs.count if self.pairs is not None else 0)

    def blocks(self, each: BlockByBlock) -> Iterator[list[SignatureRow]]:
        """All scenarios in order, a block at a time."""
        for task in (self.singles, self.pairs):
            if task is not None:
                for number, readings in enumerate(each(task)):
                    yield self.rows(task, number, readings)

    def rows(self, task: SignatureTask, block: int, readings: NDArray[np.float64]) -> list[SignatureRow]:
        """The scenarios of one block."""
        outside = outside_limits(self.places, readings).sum(axis=1)
        found = []
        for number, row, missed in zip(task.numbers(block), readings.tolist(), outside.tolist(), strict=True):
            scenario = task.scenario(number)
            faults = tuple(cause for cause in scenario.causes if cause != NOTHING)
            found.append(SignatureRow(faults, scenario.draw, tuple(row), missed))
        return found


def signatures_asked(
    job: Path, fleet: Fleet, engine: AirEngine, *, method: str | None = None, drawn: Path | None = None, members: int = MEMBERS,
    pairs: int = 1,
) -> JobSignatures:  # fmt: skip
    """All signatures of a job's test; ``pairs``: drawn tests of each pair, 0 for none. Raises InputError as blind spots do."""
    return with_pairs(task_of_job(job, fleet, engine, method=method, drawn=drawn, members=members), pairs)


def with_pairs(singles: SignatureTask, pairs: int) -> JobSignatures:
    """Faults alone, and with ``pairs`` so many drawn tests of every two."""
    two = replace(singles, members=pairs, pairs=True) if pairs else None
    return JobSignatures(singles, two, reading_places(singles.air.tested))
