"""A relief asks: what do I have to be told, what must I see myself, what comes next? Planned with what he knows, then checked."""

from __future__ import annotations

from dataclasses import dataclass, replace

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.procedures.broken_off import whole_of
from headstock.procedures.broken_off_state import SafeState
from headstock.procedures.explain import Because, explain_order
from headstock.procedures.relief import begins_test_anew, facts_looked_at, facts_told, ready_domain, relieved_domain
from headstock.procedures.task import AttachTask
from headstock.procedures.work import domain_of
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.planner import PlanResult, plan
from headstock.reasoning.point import point_after
from headstock.reasoning.step import Step
from headstock.usecases.half_done import Done, Standing, how_it_stands, lines_done, parts_of, point_of
from headstock.usecases.plan_job import Answer, JobPlan

BUDGETS = (300, 3000)
"""States opened for the rest of the work, and again where that was not enough."""
PROTECTION = "Protection is never handed over: whoever was protected has come out and given it back; the relief takes his own."

STAYS = "Whoever goes off stays, and a driver at the brake, until the relief has said that he has taken over."


@dataclass(frozen=True, slots=True)
class JobRelieved:
    """The handing over after a line and the rest of the work.

    ``ready`` are the steps before it, ``steps`` handing over and rest; both only where the checker accepts all of it.
    """

    plan: JobPlan
    line: int
    role: str
    off: str
    on: str
    answer: Answer
    reasons: tuple[str, ...]
    ready: tuple[Step, ...]
    steps: tuple[Step, ...]
    because: tuple[Because, ...]
    order: PlanResult
    task: AttachTask
    domain: Domain
    told: tuple[str, ...]
    told_anew: tuple[tuple[str, str], ...]
    looked_at: tuple[str, ...]
    done: tuple[Done, ...]
    stands: tuple[Standing, ...]
    notes: tuple[str, ...]


def relieve_job(job: JobPlan, line: int, role: str, name: str) -> JobRelieved:
    """Hand a role over after a line. Raises InputError for a line or role that the job has not."""
    task, domain, lines = parts_of(job)
    if role not in task.crew:
        fault = Fault("nobody of this job has that role", path="relief", found=role, expected=", ".join(task.crew),
                      nearest=nearest_of(role, task.crew))  # fmt: skip
        raise InputError(fault, cure="Name a role of the job's crew.")
    before = SafeState(task, point_of(job, line))
    made = ready_domain(before, domain, role)
    ready = plan(made, BUDGETS[0])
    way, whole = (*lines[:line], *ready.steps), whole_of(domain, made)
    relieved = replace(task, crew={**task.crew, role: name})
    after = SafeState(relieved, point_after(way, whole, len(way)))
    rest_of = replace(domain_of(relieved), customary=domain.customary)
    handing = relieved_domain(after, rest_of, role)
    order = _rest(handing)
    answer, reasons = _answer(ready, order)
    if answer == "yes":
        holes = (*check(way, whole).holes, *check(order.steps, handing).holes)
        reasons = tuple(f"the checker refuses the way found: {hole.step}: {hole.text}" for hole in holes)
        answer = "not found" if holes else "yes"
    steps = order.steps if answer == "yes" else ()
    looks, told = (tuple(handing.variables[key].say(value) for key, value in facts(after, rest_of, role))
                   for facts in (facts_looked_at, facts_told))  # fmt: skip
    return JobRelieved(
        job, line, role, task.crew[role], name, answer, reasons, ready.steps if answer == "yes" else (), steps,
        explain_order(steps, handing), order, relieved, handing, told, _told_anew(steps, handing, role), looks,
        lines_done(job, line), how_it_stands(relieved, handing, after.point.state), _notes(before, role),
    )  # fmt: skip


def role_and_name(relief: str | None, option: str = "--relief") -> tuple[str, str]:
    """Who is relieved and by whom, ROLE=NAME; empty where nothing is given. Raises InputError."""
    if relief is None:
        return "", ""
    role, equals, name = (part.strip() for part in relief.partition("="))
    if not (role and equals and name):
        fault = Fault("a relief is a role and a name", path=option, found=relief, expected="guard=T. Wray")
        raise InputError(fault, cure="Write the role, an equals sign, and the name of whoever takes over.")
    return role, name


def _rest(handing: Domain) -> PlanResult:
    found = plan(handing, BUDGETS[0])
    return plan(handing, BUDGETS[1]) if found.answer == "not found within the budget" else found


def _answer(ready: PlanResult, order: PlanResult) -> tuple[Answer, tuple[str, ...]]:
    if ready.answer == "planned" and order.answer == "planned":
        return "yes", ()
    if "not found within the budget" in (ready.answer, order.answer):
        return "not found", ("no way found within the budget; that proves nothing",)
    return "no", ("from here no order of the known steps leads on with a relief: make safe, begin anew",)


def _told_anew(steps: tuple[Step, ...], domain: Domain, role: str) -> tuple[tuple[str, str], ...]:
    """(who, what): what others of the crew tell the relief before or while he goes on, because they have it at first hand."""
    return tuple((step.role, domain.variables[key].say(value)) for step in steps if step.hearer == role and not step.effects
                 for key, value in step.tells if step.role in domain.people and not step.role.endswith("going off")
                 and (step.role, (key, value)) in domain.start_knows)  # fmt: skip


def _notes(safe: SafeState, role: str) -> tuple[str, ...]:
    notes = [PROTECTION, STAYS]
    if begins_test_anew(safe.task, role, safe.point):
        notes.append("The brake test under way is void: whoever drives or reads it has changed. It is begun anew.")
    if safe.task.rules.broken_off is None:
        notes.append("The local rules do not say what a relief looks at: hand and parking brakes are taken.")
    return tuple(notes)
