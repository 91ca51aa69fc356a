"""Somebody asks: it is broken off here; what now, in which order, so that everything is left safe? Planned, then checked."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.procedures.broken_off import broken_off_domain, whole_of
from headstock.procedures.broken_off_state import SafeState
from headstock.procedures.explain import Because, explain_order
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.planner import PlanResult, plan
from headstock.reasoning.point import point_after
from headstock.reasoning.step import Step
from headstock.usecases.half_done import Done, Standing, how_it_stands, lines_done, parts_of, point_of
from headstock.usecases.plan_job import Answer, JobPlan

BUDGET = 2000
SILENT = "The local rules do not say what is done when a job is broken off: no boards are asked for, the words are common ones."
WITHIN = "Within a line: what moves stops at once; what is in hand is finished or taken back, then as after the line before it."


@dataclass(frozen=True, slots=True)
class JobStopped:
    """The way to the safe state after a line; ``steps`` only where the checker accepts it."""

    plan: JobPlan
    line: int
    answer: Answer
    reasons: tuple[str, ...]
    steps: tuple[Step, ...]
    because: tuple[Because, ...]
    order: PlanResult
    domain: Domain
    done: tuple[Done, ...]
    stands: tuple[Standing, ...]
    left: tuple[Standing, ...]
    notes: tuple[str, ...]


def stop_job(job: JobPlan, line: int) -> JobStopped:
    """Break a planned job off after a line. Raises InputError for a line it has not, ValueError for a job without an order."""
    task, domain, lines = parts_of(job)
    point = point_of(job, line)
    safe = SafeState(task, point)
    made = broken_off_domain(safe, domain)
    order = plan(made, BUDGET)
    whole, way = whole_of(domain, made), (*lines[:line], *order.steps)
    holes = check(way, whole).holes if order.answer == "planned" else ()
    reasons = tuple(f"the checker refuses the way found, line {hole.line - line}: {hole.text}" for hole in holes)
    answer: Answer = "yes" if order.answer == "planned" and not holes else "no" if order.answer == "impossible" else "not found"
    if answer == "no":
        reasons = ("no order of the known steps leads from here to a state that is left safe: stay with it, call for help",)
    steps = order.steps if answer == "yes" else ()
    left = how_it_stands(task, made, point_after(way, whole, len(way)).state) if steps else ()
    return JobStopped(
        job, line, answer, reasons, steps, explain_order(steps, made), order, made, lines_done(job, line),
        how_it_stands(task, domain, point.state), left, _notes(safe),
    )  # fmt: skip


def _notes(safe: SafeState) -> tuple[str, ...]:
    """What is not done, and why; where the rules are silent."""
    notes = [WITHIN]
    if safe.task.rules.broken_off is None:
        notes.append(SILENT)
    if safe.hangs:
        notes.append(f"The couple stays made: the whole train hangs on the brakes of {safe.task.standing}, proved for it.")
    elif safe.touching:
        notes.append("Nobody goes between anew to tidy up; the ends are left as they are, each portion on its own brakes.")
    if safe.rules.boards_on.value != "nothing" and not safe.boards:
        notes.append("The rules ask for boards; no unit has a bracket for one.")
    return tuple(notes)
