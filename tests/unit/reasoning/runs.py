"""The toy's order made ready for mistakes."""

from __future__ import annotations

from headstock.reasoning.domain import Domain
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome, study
from headstock.reasoning.mistakes import single_mistakes
from headstock.reasoning.planner import plan
from headstock.reasoning.surroundings import Surroundings
from tests.unit.reasoning.toy import toy_domain

LINES = (
    "open the door", "tell the worker: door open", "go in", "light the lamp", "look at the lamp", "come out",
    "tell the keeper: lamp lit", "shut the door",
)  # fmt: skip


def toy_going(around: Surroundings | None = None, domain: Domain | None = None) -> GoingOn:
    """The toy's best order."""
    world = domain or toy_domain()
    going = GoingOn(plan(world).steps, world, around or Surroundings())
    assert tuple(step.key for step in going.order) == LINES
    return going


def toy_outcomes(around: Surroundings | None = None) -> tuple[Outcome, ...]:
    """Every single mistake of the toy, and what becomes of it."""
    going = toy_going(around)
    return study(going, single_mistakes(going))


def the_outcome(outcomes: tuple[Outcome, ...], kind: str, line: str, past: str | None = None, how: str = "") -> Outcome:
    """The one of a kind at a line, named by the step's words."""
    where = None if past is None else LINES.index(past)
    found = [
        outcome
        for outcome in outcomes
        if (outcome.mistake.kind, outcome.mistake.line, outcome.mistake.past) == (kind, LINES.index(line), where)
        and how in (outcome.mistake.how, "")
    ]
    assert len(found) == 1, f"{kind} {line} {past}: {len(found)}"
    return found[0]
