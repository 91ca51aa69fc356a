"""Mistakes: seconds for all single ones, pairs a second on one core and on all, for jobs of growing length.

Run it from the top of the tree: ``PYTHONPATH=src:. python -m bench.mistakes``. It prints figures and judges nothing; let
nothing else run meanwhile. Air is derived from cocks and hoses, never simulated. ``--all`` counts every pair of the demo job.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import perf_counter

from headstock.compute.kept_runs import KeptRuns
from headstock.compute.pairs_abreast import PairsAbreast
from headstock.equipment.library import load_fleet
from headstock.local_rules.mistake_plausibility import DEMONSTRATION, load_mistake_plausibility
from headstock.procedures.noticing import surroundings_of
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_pairs import Pairs
from headstock.reasoning.mistake_ranking import added_looks, look_weights
from headstock.reasoning.mistake_study import study
from headstock.reasoning.mistakes import single_mistakes
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.job_mistakes import PairsAsked, rank_of
from headstock.usecases.plan_job import JobPlan, plan_job

DEMO = JOBS_FOLDER / "demo-attach.yaml"


def made_ready(plan: JobPlan) -> GoingOn:
    """The order of a planned job."""
    assert plan.order is not None
    assert plan.domain is not None
    assert plan.assembled.task is not None
    return GoingOn(plan.order.steps, plan.domain, surroundings_of(plan.assembled.task, plan.domain))


def singles(name: str, plan: JobPlan) -> GoingOn:
    """All single mistakes, with what becomes of them in words; then the rankings."""
    ranks = load_mistake_plausibility(DEMONSTRATION)
    began = perf_counter()
    going = made_ready(plan)
    mistakes = single_mistakes(going)
    outcomes = study(going, mistakes)
    ran = perf_counter()
    look_weights(going, mistakes, outcomes)
    likely = [outcome for outcome in outcomes if rank_of(outcome.mistake, ranks) >= 2]
    added_looks(going, likely, lambda mistake: rank_of(mistake, ranks))
    print(f"{name}: {len(going.order)} lines, {len(mistakes)} single mistakes in {ran - began:.2f} s, "
          f"rankings {perf_counter() - ran:.2f} s")  # fmt: skip
    return going


def pairs_on_one_core(going: GoingOn) -> None:
    """Pairs of plausibility 2 or more, here."""
    ranks = load_mistake_plausibility(DEMONSTRATION)
    few = [mistake for mistake in single_mistakes(going) if rank_of(mistake, ranks) >= 2]
    began = perf_counter()
    count = Pairs(going, few, [rank_of(mistake, ranks) for mistake in few]).count(range(len(few)))
    took = perf_counter() - began
    print(f"pairs on one core: {count.run} run, {count.settled} settled, {took:.1f} s, {count.run / took:.0f} run a second")


def pairs_on_all(job: Path, going: GoingOn, least: int) -> None:
    """Pairs over processes, their start counted in."""
    order = tuple(step.ident for step in going.order)
    asked = PairsAsked(job, None, least, len(single_mistakes(going)), order)
    began = perf_counter()
    count = PairsAbreast()(asked)
    took = perf_counter() - began
    print(f"pairs on all cores, plausibility {least} or more: {count.run} run, {count.settled} settled, {took:.1f} s with the "
          f"start of the processes, {count.run / took:.0f} run a second; {count.worse} worse than apart")  # fmt: skip


def main() -> None:
    """Every figure."""
    fleet, engine = load_fleet(), KeptRuns()
    for path in sorted(JOBS_FOLDER.glob("*.yaml")):
        plan = plan_job(path, fleet, engine)
        if plan.answer == "yes":
            singles(path.stem, plan)
    without_air = singles("demo-attach, without the air (longest)", plan_job(DEMO, fleet))
    pairs_on_one_core(without_air)
    going = singles("demo-attach", plan_job(DEMO, fleet, engine))
    pairs_on_all(DEMO, going, 2)
    if "--all" in sys.argv:
        pairs_on_all(DEMO, going, 1)


if __name__ == "__main__":
    main()
