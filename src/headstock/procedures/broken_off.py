"""Breaking a job off after any line: the task for planner and checker, from how things stand there to the safe state."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from headstock.procedures.broken_off_state import BROKEN_OFF, STANDS, SafeState
from headstock.procedures.broken_off_steps import coming_out_steps, holding_steps
from headstock.reasoning.domain import Domain
from headstock.reasoning.point import Point
from headstock.reasoning.step import Step
from headstock.reasoning.telling import learned, one_telling, wanted_knowledge
from headstock.reasoning.variable import Fact, Variable

PHASES = ("stop", "come out", "hold", "prove", "lock", "board", "told")


def broken_off_domain(safe: SafeState, domain: Domain) -> Domain:
    """The task of making safe from the point of ``safe``; constraints are those of the job, unchanged."""
    steps = (*coming_out_steps(safe, domain), *holding_steps(safe))
    return begun_at(safe.point, domain, steps, safe.all, (), safe.task.rules.allowance_s("tell"))


def begun_at(
    point: Point, domain: Domain, steps: tuple[Step, ...], goal: tuple[Fact, ...], goal_knows: tuple[tuple[str, Fact], ...],
    tell_s: float,
) -> Domain:  # fmt: skip
    """A task of these steps from a point, with the words that they ask for."""
    said = _tellings(point, steps, goal_knows, domain, tell_s)
    return replace(
        domain, variables={**domain.variables, **_variables()}, steps=(*steps, *said),
        start={**point.state, BROKEN_OFF: "no", STANDS: "not seen"}, people=dict(point.people), start_knows=point.knows,
        goal=goal, goal_knows=goal_knows, phases=PHASES, windows=(), customary={},
    )  # fmt: skip


def whole_of(job: Domain, made_safe: Domain) -> Domain:
    """Job and breaking off as one task from the job's own start, for the checker: it comes to the point by itself."""
    return replace(
        made_safe, start={**job.start, BROKEN_OFF: "no", STANDS: "not seen"}, people=job.people,
        start_knows=job.start_knows, steps=(*job.steps, *made_safe.steps),
    )  # fmt: skip


def _variables() -> dict[str, Variable]:
    phrases = (("called", "everybody has stopped"), ("told", "all have been told how it is left"))
    seen = (("seen", "both portions seen to stand as they are left, air brake off"),)
    return {
        BROKEN_OFF: Variable(BROKEN_OFF, ("no", "called", "told"), "scene", "breaking off", phrases=phrases),
        STANDS: Variable(STANDS, ("not seen", "seen"), "scene", "as left", sign=True, phrases=seen),
    }


def _tellings(
    point: Point, steps: tuple[Step, ...], goal_knows: Iterable[tuple[str, Fact]], domain: Domain, tell_s: float
) -> tuple[Step, ...]:  # fmt: skip
    """One telling for each fact that somebody needs and cannot learn: by who has it at first hand, or will have it."""
    variables = {**domain.variables, **_variables()}
    told = {(step.hearer, fact) for step in steps for fact in step.tells}
    made = []
    for role, fact in wanted_knowledge(steps, goal_knows):
        learners = list(dict.fromkeys(step.role for step in steps if fact in learned(step, variables)))
        if role in learners or (role, fact) in told or (role, fact) in point.knows:
            continue
        owners = [owner for owner, known in sorted(point.first_hand) if known == fact]
        if owners or learners:
            made.append(one_telling((*owners, *learners)[0], role, fact, variables, tell_s, "hold"))
    return tuple(made)
