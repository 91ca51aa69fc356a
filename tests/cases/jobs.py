"""Planned jobs shared by the cases, each planned once for a whole test run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan, plan_job

DEMO, SECOND = JOBS_FOLDER / "demo-attach.yaml", JOBS_FOLDER / "second-attach.yaml"
PART, ALONE, SCREW = (JOBS_FOLDER / f"{name}.yaml" for name in ("demo-detach", "alone-attach", "screw-attach"))

MADE, STUCK = JOBS_FOLDER / "part-made-attach.yaml", JOBS_FOLDER / "failed-release.yaml"

TWO_LOOKS = ("look at both sides", "tell the")
"""Looks that another may stand for, and what is told, which a look may make known as well."""


@cache
def planned(path: Path, by_air: bool = False) -> JobPlan:
    """The plan of a job with the built-in fleet; ``by_air`` with the air engine asked, else with nobody to ask."""
    return plan_job(path, load_fleet(), KeptRuns() if by_air else None)


def order_of(path: Path, by_air: bool = False) -> tuple[tuple[Step, ...], Domain]:
    """The order of work and its domain; the job must have been planned."""
    return order_in(planned(path, by_air))


def order_in(plan: JobPlan) -> tuple[tuple[Step, ...], Domain]:
    """A plan's order of work and its domain; there must be one."""
    assert plan.order is not None and plan.domain is not None, plan.reasons
    return plan.order.steps, plan.domain


def steps_of(plan: JobPlan) -> tuple[Step, ...]:
    """The steps of a plan; there must be an order."""
    assert plan.answer == "yes" and plan.order is not None, plan.reasons
    return plan.order.steps


def not_missed(steps: Sequence[Step], domain: Domain) -> list[str]:
    """The steps that can be left out, one at a time, without the checker finding a hole; but for second looks."""
    without = [check([*steps[:number], *steps[number + 1 :]], domain).holds for number in range(len(steps))]
    return [step.key for step, holds in zip(steps, without, strict=True) if holds and not step.key.startswith(TWO_LOOKS)]


def breaks_of(order: tuple[Sequence[Step], Domain], edit: Callable[[list[Step]], Sequence[Step]]) -> set[str]:
    """What the checker says of a right order once it was edited: constraints by name, other holes by their kind."""
    steps, domain = order
    edited = list(edit(list(steps)))
    assert edited != list(steps), "the edit changes nothing"
    return {hole.about if hole.kind == "constraint" else hole.kind for hole in check(edited, domain).holes}
