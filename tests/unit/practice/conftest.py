"""Exercises on the built-in jobs, each planned once for a whole test run."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from headstock.practice.exercise import Exercise
from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.jobs import planned


@cache
def exercise_of(job: str) -> Exercise:
    plan = planned(JOBS_FOLDER / f"{job}.yaml", by_air=True)
    assert plan.assembled.task is not None and plan.domain is not None and plan.order is not None
    return Exercise(job, plan.assembled.task, plan.domain, plan.order.steps)


@pytest.fixture
def exercise() -> Callable[..., Exercise]:
    def made(job: str = "demo-attach", **changes: Any) -> Exercise:
        return replace(exercise_of(job), **changes) if changes else exercise_of(job)

    return made
