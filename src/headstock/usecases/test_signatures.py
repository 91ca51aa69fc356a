"""The signatures of a job's brake test, for the questions that rest on them: what it cannot see, and what explains a reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from headstock.base.errors import Fault, InputError
from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.forecast import TrainUnderTest, stage_spans
from headstock.brake_test.gauge_error import GaugeErrors, gauge_errors
from headstock.brake_test.signature_set import Signatures, SignatureTask, laid_together
from headstock.equipment.library import Fleet
from headstock.formation.train_air import brake_pipe_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, DrawnTests, load_drawn_tests
from headstock.physics.air_run import AirEngine
from headstock.usecases.forecast_job import tested_by

Blocks = Callable[[SignatureTask], tuple[NDArray[np.float64], ...]]
"""Whoever works out the blocks of a task."""
MEMBERS = 12
"""Drawn tests of each cause where nothing else is asked for."""


@dataclass(frozen=True, slots=True)
class TestSignatures:
    """A train under its test, from what its readings are drawn, what they are under each cause, how gauges err."""

    __test__ = False

    tested: TrainUnderTest
    drawn: DrawnTests
    signatures: Signatures
    errors: GaugeErrors


def signatures_of_job(
    job: Path, fleet: Fleet, engine: AirEngine, blocks: Blocks, *, method: str | None = None, beside: Path = Path(),
    drawn: Path | None = None, members: int = MEMBERS,
) -> TestSignatures:  # fmt: skip
    """The signatures of a job's test. Raises InputError for what cannot be meant, and for a job without an order of work."""
    task = task_of_job(job, fleet, engine, method=method, beside=beside, drawn=drawn, members=members)
    tested = task.air.tested
    return TestSignatures(tested, task.drawn, laid_together(task, blocks(task)), gauge_errors(tested, task.drawn))


def task_of_job(
    job: Path, fleet: Fleet, engine: AirEngine, *, method: str | None = None, beside: Path = Path(), drawn: Path | None = None,
    members: int = MEMBERS,
) -> SignatureTask:  # fmt: skip
    """What is to be worked out for that, of every fault alone. Raises the same."""
    tested = tested_by(job, fleet, engine, method, beside)
    if tested is None:
        fault = Fault("the job has no order of work, so no test to speak of", path="JOB", found=str(job))
        raise InputError(fault, cure="Ask headstock plan for the reasons.")
    return task_of_train(tested, load_drawn_tests(drawn or DEMONSTRATION), members)


def task_of_train(tested: TrainUnderTest, ranges: DrawnTests, members: int, seed: int = 1) -> SignatureTask:
    """The same for a train under its test. Raises InputError for a method that no fault of the list belongs to."""
    if tested.method.brake != "automatic":
        fault = Fault("no fault of wires is on the list, so nothing can be said of this method", path="--method",
                      found=tested.method.name, expected="a method of the automatic brake")  # fmt: skip
        raise InputError(fault, cure="headstock forecast says what its gauges should show, with wires parted too.")
    air = AirUnderTest(tested, brake_pipe_air_of(tested.train, tested.outside_pa), stage_spans(tested))
    return SignatureTask(air, ranges, members, seed)
