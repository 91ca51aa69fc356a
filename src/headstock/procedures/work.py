"""The planning task of a job, whatever its kind."""

from __future__ import annotations

from headstock.procedures.attach import attach_domain
from headstock.procedures.detach import detach_domain
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain

PHASES = (
    "agree", "hold", "try again", "dress", "approach", "join", "make safe", "between", "come out", "part", "ends", "test",
    "leave",
)  # fmt: skip
"""All phases of jobs of any kind, in an order that fits each."""


def domain_of(task: AttachTask) -> Domain:
    """Variables, people, steps, constraints, start and goal of a job."""
    return detach_domain(task) if task.parts else attach_domain(task)
