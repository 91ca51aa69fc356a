"""A supervisor asks: in which order, who, and why? Answered with a checked order of work, or with every reason for no.

It never gives permission to move: the person in charge decides, after looking.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.procedures.explain import Because, explain_order
from headstock.procedures.task import AttachTask
from headstock.procedures.work import domain_of
from headstock.reasoning.checker import CheckResult, Complaint, check
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Known
from headstock.reasoning.planner import PlanResult, plan
from headstock.reasoning.variable import Fact
from headstock.usecases.assemble import AssembledJob, assemble
from headstock.usecases.customary_order import customary_ranks
from headstock.usecases.job_file import JobPapers, load_job
from headstock.usecases.method_due import other_methods

Answer = Literal["yes", "no", "not found", "outside the model"]


@dataclass(frozen=True, slots=True)
class JobPlan:
    """The answer for one job; ``domain`` and ``order`` are there when something was planned."""

    answer: Answer
    papers: JobPapers
    assembled: AssembledJob
    domain: Domain | None
    order: PlanResult | None
    because: tuple[Because, ...]
    checked: CheckResult | None
    as_found: tuple[str, ...]
    reasons: tuple[str, ...]


def plan_job(path: Path, fleet: Fleet, engine: AirEngine | None = None) -> JobPlan:
    """Plan the job in a file; ``engine`` answers what the air does. Raises InputError for a file that cannot be meant."""
    return plan_papers(load_job(path), fleet, engine)


def plan_papers(papers: JobPapers, fleet: Fleet, engine: AirEngine | None = None) -> JobPlan:
    """The same of a job that is read already."""
    assembled = assemble(papers, fleet, engine)
    if assembled.task is None:
        answer: Answer = "no" if assembled.refusals else "outside the model"
        reasons = assembled.refusals + assembled.outside + other_methods(papers)
        return JobPlan(answer, papers, assembled, None, None, (), None, (), reasons)
    assembled, domain, order = _found(assembled, assembled.task)
    if order.answer != "planned":
        answer = "no" if order.answer == "impossible" else "not found"
        return JobPlan(answer, papers, assembled, domain, order, (), None, (), _why_not(order, domain))
    checked = check(order.steps, domain)
    found = tuple(complaint.text for complaint in checked.as_found)
    if not checked.holds:
        return JobPlan("not found", papers, assembled, domain, order, (), checked, found, _holes(checked.holes))
    because = explain_order(order.steps, domain)
    return JobPlan("yes", papers, assembled, domain, order, because, checked, found, ())


def _found(assembled: AssembledJob, task: AttachTask) -> tuple[AssembledJob, Domain, PlanResult]:
    """The order; where the freedom that the air gives makes the search too wide, one without it, which holds as well."""
    domain = _domain_of(task)
    order = plan(domain)
    if order.answer == "not found within the budget" and task.opens_on_air:
        without = replace(task, opening_kept=None)
        narrow = _domain_of(without)
        again = plan(narrow)
        if again.answer == "planned":
            return replace(assembled, task=without), narrow, again
    return assembled, domain, order


def _domain_of(task: AttachTask) -> Domain:
    """The planning task with the customary order of the local rules."""
    return replace(domain_of(task), customary=customary_ranks(task))


def _why_not(order: PlanResult, domain: Domain) -> tuple[str, ...]:
    """What stands in the way: the root facts that no step can give."""
    if order.answer != "impossible":
        return (f"no order found within the budget ({order.expanded} states opened); that proves nothing",)
    roots = order.roots or order.missing
    if not roots:
        return ("no order of the known steps leads from how things are found to the end state",)
    return tuple(f"nothing in this job gives: {_named(item, domain)}" for item in roots)


def _named(item: Fact | Known, domain: Domain) -> str:
    """A fact, or that a role knows it, in words."""
    if not isinstance(item[1], str):
        return f"the {item[0]} knows: {_named(item[1], domain)}"
    variable = domain.variables.get(item[0])
    return variable.say(item[1]) if variable is not None else f"{item[0]} {item[1]}"


def _holes(holes: tuple[Complaint, ...]) -> tuple[str, ...]:
    return tuple(f"the checker refuses the order found, line {hole.line}: {hole.text}" for hole in holes)
