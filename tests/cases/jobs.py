"""Planned jobs shared by the cases, each planned once for a whole test run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from headstock.equipment.library import load_fleet
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan, plan_job

DEMO, SECOND = JOBS_FOLDER / "demo-attach.yaml", JOBS_FOLDER / "second-attach.yaml"


@cache
def planned(path: Path) -> JobPlan:
    """The plan of a job with the built-in fleet."""
    return plan_job(path, load_fleet())


def order_of(path: Path) -> tuple[tuple[Step, ...], Domain]:
    """The order of work and its domain; the job must have been planned."""
    answer = planned(path)
    assert answer.order is not None and answer.domain is not None, answer.reasons
    return answer.order.steps, answer.domain
