"""A trainer or supervisor asks: what if somebody goes wrong in this job, and who would notice?

Answered for every single mistake of the order of work, and for pairs. It says what the model shows, never how often it happens.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from headstock.equipment.library import Fleet
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, MistakePlausibility, load_mistake_plausibility
from headstock.physics.air_run import AirEngine, Progress
from headstock.procedures.noticing import surroundings_of
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_pairs import PairCount, Pairs
from headstock.reasoning.mistake_ranking import AddedLook, LookWeight, added_looks, latent_omissions, look_weights, worst_first
from headstock.reasoning.mistake_study import Outcome, outcome_of, say_fact, study
from headstock.reasoning.mistakes import NOT_LOOKED, NOT_SAID, Mistake, single_mistakes
from headstock.usecases.plan_job import Answer, JobPlan, plan_job

MISTAKE_CAUTION = (
    "What people notice is a judgement written into the model, and it knows only the things named in this order of work: "
    "a mistake that is not listed here is not ruled out."
)

AT_A_TIME = 100
LEAST = 2
"""Looks to add are sought for mistakes of at least this plausibility: moves past many steps would outnumber all others."""


@dataclass(frozen=True)
class JobMistakes:
    """What becomes of the mistakes of one job; empty with reasons where there is no order of work, or none that fits."""

    plan: JobPlan
    answer: Answer
    reasons: tuple[str, ...]
    plausibility: MistakePlausibility
    going: GoingOn | None = None
    outcomes: tuple[Outcome, ...] = ()
    omissions: tuple[Outcome, ...] = ()
    looks: tuple[LookWeight, ...] = ()
    added: tuple[AddedLook, ...] = ()
    blind: tuple[Outcome, ...] = ()
    pairs: JobPairs | None = None


@dataclass(frozen=True)
class JobPairs:
    """Pairs of mistakes of at least some plausibility: what was counted, and the worst that hide each other."""

    least_plausibility: int
    mistakes: int
    count: PairCount
    worst: tuple[Outcome, ...]


@dataclass(frozen=True)
class PairsAsked:
    """What whoever spreads pairs over processes needs, to make the same order of work again there."""

    job: Path
    plausibility: Path | None
    least: int
    mistakes: int
    order: tuple[tuple[str, str], ...]


Spread = Callable[[PairsAsked], PairCount]
"""Counts all pairs elsewhere; without one they are counted here."""


def job_mistakes(
    path: Path, fleet: Fleet, engine: AirEngine | None = None, ranks: Path | None = None,
    pairs_from: int | None = None, spread: Spread | None = None,
) -> JobMistakes:  # fmt: skip
    """Mistakes of the job in a file; with ``pairs_from``, pairs of those that are at least so plausible as well.

    Raises InputError for a file that cannot be meant.
    """
    found = mistakes_of(plan_job(path, fleet, engine), ranks)
    if pairs_from is None or found.going is None:
        return found
    mistakes = single_mistakes(found.going)
    asked = PairsAsked(path, ranks, pairs_from, len(mistakes), tuple(step.ident for step in found.going.order))
    return replace(found, pairs=_paired(found.going, mistakes, found.plausibility, asked, spread))


def mistakes_of(plan: JobPlan, ranks: Path | None = None, on_progress: Progress | None = None) -> JobMistakes:
    """Every single mistake of a planned job; says how many are followed to their end. Raises InputError for ranks."""
    plausibility = load_mistake_plausibility(ranks or DEMONSTRATION)
    going, reasons = ready_to_go_wrong(plan)
    if going is None:
        return JobMistakes(plan, plan.answer if plan.answer != "yes" else "outside the model", reasons, plausibility)
    mistakes = single_mistakes(going)
    outcomes = _studied(going, mistakes, on_progress)

    def rank(mistake: Mistake) -> int:
        return rank_of(mistake, plausibility)

    likely = [outcome for outcome in outcomes if rank(outcome.mistake) >= LEAST]
    added, blind = added_looks(going, likely, rank)
    return JobMistakes(
        plan, "yes", (), plausibility, going, tuple(sorted(outcomes, key=lambda o: worst_first(o, rank))),
        latent_omissions(outcomes, rank), look_weights(going, mistakes, outcomes), added, blind,
    )  # fmt: skip


def _studied(going: GoingOn, mistakes: Sequence[Mistake], on_progress: Progress | None) -> tuple[Outcome, ...]:
    """Some at a time, so that whoever waits hears of it."""
    outcomes: list[Outcome] = []
    for first in range(0, len(mistakes), AT_A_TIME):
        if on_progress is not None:
            on_progress(first, len(mistakes))
        outcomes += study(going, mistakes[first : first + AT_A_TIME])
    return tuple(outcomes)


def rank_of(mistake: Mistake, plausibility: MistakePlausibility) -> int:
    """The plausibility of a mistake, 1 to 3."""
    if mistake.past is not None:
        return plausibility.moved_past_one_step if mistake.crossed == 1 else plausibility.moved_past_more
    by_half = {NOT_LOOKED: plausibility.not_really_looked, NOT_SAID: plausibility.not_said}
    by_kind = {
        "left out": plausibility.left_out, "wrong object": plausibility.wrong_object, "wrong end": plausibility.wrong_end,
        "half done": by_half.get(mistake.how, plausibility.partly_done),
    }  # fmt: skip
    return by_kind[mistake.kind]


def ready_to_go_wrong(plan: JobPlan) -> tuple[GoingOn | None, tuple[str, ...]]:
    """The order made ready, or why not: what people notice must not stop the right order."""
    task, domain, order = plan.assembled.task, plan.domain, plan.order
    if plan.answer != "yes" or task is None or domain is None or order is None:
        return None, plan.reasons
    going = GoingOn(order.steps, domain, surroundings_of(task, domain))
    seen = going.right.seen
    if seen is not None:
        at = going.order[seen.line].key if seen.line < len(going.order) else "the end"
        return None, (f"what people notice is not modelled for this order: somebody would stop at: {at}",)
    wrong = going.bits.facts(going.goal & ~going.right.state)
    if wrong:
        said = "; ".join(say_fact(going, fact) for fact in wrong)
        return None, (f"what follows by itself is not modelled for this order: at the end not so: {said}",)
    return going, ()


def _plausible(mistakes: Sequence[Mistake], plausibility: MistakePlausibility, least: int) -> list[Mistake]:
    return [mistake for mistake in mistakes if rank_of(mistake, plausibility) >= least]


def _paired(
    going: GoingOn, mistakes: Sequence[Mistake], plausibility: MistakePlausibility, asked: PairsAsked, spread: Spread | None
) -> JobPairs:
    few = _plausible(mistakes, plausibility, asked.least)
    count = spread(asked) if spread is not None else _pairs(going, few, plausibility).count(range(len(few)))
    worst: dict[tuple[int, ...], Outcome] = {}
    for _, one, other in sorted(count.worst):
        lines = tuple(sorted({*few[one].lines, *few[other].lines}))
        if lines not in worst:
            worst[lines] = outcome_of(going, few[one], few[other])
    return JobPairs(asked.least, len(few), count, tuple(worst.values()))


def _pairs(going: GoingOn, few: Sequence[Mistake], plausibility: MistakePlausibility) -> Pairs:
    return Pairs(going, few, [rank_of(mistake, plausibility) for mistake in few])


def pairs_again(asked: PairsAsked, fleet: Fleet, engine: AirEngine | None) -> Pairs:
    """The same pairs made again in another process. Raises RuntimeError when the order of work came out otherwise there."""
    plausibility = load_mistake_plausibility(asked.plausibility or DEMONSTRATION)
    going, _ = ready_to_go_wrong(plan_job(asked.job, fleet, engine))
    if going is None or tuple(step.ident for step in going.order) != asked.order:
        raise RuntimeError("the order of work came out otherwise in another process")
    mistakes = single_mistakes(going)
    if len(mistakes) != asked.mistakes:
        raise RuntimeError("the mistakes came out otherwise in another process")
    return _pairs(going, _plausible(mistakes, plausibility, asked.least), plausibility)
