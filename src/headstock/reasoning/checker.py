"""The independent checker: carries out an order from the start and judges every state and the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.reasoning.domain import Domain
from headstock.reasoning.run import Complaint, ComplaintKind, Run
from headstock.reasoning.step import Step

__all__ = ["CheckResult", "Complaint", "ComplaintKind", "check"]


@dataclass(frozen=True, slots=True)
class CheckResult:
    """All complaints in the order in which they occur.

    ``as_found`` are those of the state before the first line: to be mended first, but no hole of the order.
    """

    complaints: tuple[Complaint, ...]
    lines: int

    @property
    def as_found(self) -> tuple[Complaint, ...]:
        """What is wrong before anybody has done anything."""
        return tuple(complaint for complaint in self.complaints if complaint.line == 0)

    @property
    def holes(self) -> tuple[Complaint, ...]:
        """What is wrong with the order itself."""
        return tuple(complaint for complaint in self.complaints if complaint.line > 0)

    @property
    def holds(self) -> bool:
        """Whether the order has no hole."""
        return not self.holes


def check(order: Sequence[Step | str], domain: Domain) -> CheckResult:
    """Execute an order of steps (or unknown lines, given as text) from the start and judge it."""
    run = Run.begin(domain)
    for line, step in enumerate(order, start=1):
        run.follow(line, step)
    run.judge_end(len(order) + 1)
    return CheckResult(tuple(run.complaints), len(order))
