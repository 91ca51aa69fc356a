"""``mistakes``: what becomes of each mistake in a job, who notices, and what nobody would."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from headstock.cli.commands.plan import NO_ORDER
from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome
from headstock.reasoning.mistakes import KINDS
from headstock.usecases.answers_as_data.mistakes import mistake_counts, mistakes_as_json
from headstock.usecases.job_mistakes import LEAST, MISTAKE_CAUTION, JobMistakes, JobPairs, job_mistakes
from headstock.usecases.mistake_words import (
    added_in_words,
    broken_in_words,
    end_in_words,
    look_in_words,
    mistakes_in_words,
)
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, fleet_from, pairs_abreast


def run_mistakes(
    job: Path, as_json: bool, fleet: Path | None, ranks: Path | None, pairs_from: int | None, top: int
) -> int:  # fmt: skip
    """Find out and print."""
    spread = pairs_abreast(fleet) if pairs_from is not None else None
    answer = job_mistakes(job, fleet_from(fleet), air_engine(), ranks, pairs_from, spread)
    if as_json:
        print_json(mistakes_as_json(answer, top))
    else:
        _print_mistakes(answer, top)
    return ANSWER_STATUS[answer.answer]


def _print_mistakes(answer: JobMistakes, top: int) -> None:
    from rich.console import Console

    console = Console(highlight=False, markup=False)
    plan, going, ranks = answer.plan, answer.going, answer.plausibility
    rules = plan.papers.rules
    console.print(f"{plan.papers.job.title} · mistakes", style="bold")
    console.print(f"Local rules: {rules.name}, edition {rules.edition}" + (" (invented)" if rules.invented else ""))
    console.print(f"Caution: {STANDING_CAUTION}")
    if going is None:
        console.print(NO_ORDER[answer.answer], style="bold")
        for reason in answer.reasons:
            console.print(f"  - {reason}")
        return
    console.print(f"Caution: {MISTAKE_CAUTION}")
    console.print(f"Plausibility: {ranks.name}, edition {ranks.edition}" + (" (invented). " if ranks.invented else ". ")
                  + ranks.note)  # fmt: skip
    for text in _count_words(answer, going):
        console.print(text)
    for heading, rows in _sections(answer, going, top):
        console.print()
        console.print(heading, style="bold")
        for row in rows or ["none"]:
            console.print(f"  - {row}", soft_wrap=True)


def _count_words(answer: JobMistakes, going: GoingOn) -> tuple[str, ...]:
    counts = mistake_counts(answer.outcomes)
    kinds = Counter(outcome.mistake.kind for outcome in answer.outcomes)
    listed = ", ".join(f"{kinds[kind]} {kind}" for kind in KINDS)
    return (
        f"{counts['all']} single mistakes in {len(going.order)} lines: {listed}. Moves that come to the same are one.",
        f"Noticed in the job: {counts['noticed']}, {counts['noticed_after_a_broken_rule']} of them only after a rule was broken. "
        f"Nobody notices: {counts['latent']} go into service, {counts['unseen']} more break a rule and end as they should. "
        f"Nothing comes of {counts['harmless']} by themselves: a look left out hurts only with another mistake.",
    )


def _sections(answer: JobMistakes, going: GoingOn, top: int) -> list[tuple[str, list[str]]]:
    silent = [outcome for outcome in answer.outcomes if outcome.gravity and outcome.mistake.kind != "left out"]
    late = [o for o in answer.outcomes if o.verdict == "noticed" and o.broken]
    to_add = f"Looks to add for mistakes of plausibility {LEAST} or more, the one that takes away most first:"
    sections = [
        ("Left out, and nobody notices, the worst first:", _rows(going, answer.omissions, top)),
        (f"Done otherwise, and nobody notices ({len(silent)} in all):", _rows(going, silent, top)),
        (f"Noticed, but only after a rule was broken ({len(late)} in all):", _rows(going, late, top)),
        ("Looks on which most rests:", [look_in_words(going, weight) for weight in answer.looks if weight.reveals][:top]),
        (to_add, [added_in_words(going, look) for look in answer.added]),
    ]
    if answer.blind:
        said = f"No look at a thing would reveal {len(answer.blind)} of those that nobody notices: only doing it right does."
        sections[-1][1].append(said)
    if answer.pairs is not None:
        sections.append(_pairs_section(going, answer.pairs, top))
    return sections


def _pairs_section(going: GoingOn, pairs: JobPairs, top: int) -> tuple[str, list[str]]:
    count = pairs.count
    heading = (
        f"Two together, each of plausibility {pairs.least_plausibility} or more: {count.run} pairs run, {count.settled} settled "
        f"because the first is noticed before the second; {count.worse} do more harm than the two apart. The worst:"
    )
    return heading, _rows(going, pairs.worst, top)


def _rows(going: GoingOn, outcomes: Sequence[Outcome], top: int) -> list[str]:
    """One row for all mistakes of one kind at one line, the worst of them told."""
    alike: dict[tuple[object, ...], list[Outcome]] = {}
    for outcome in outcomes:
        alike.setdefault(tuple((m.kind, m.lines) for m in outcome.mistakes), []).append(outcome)
    return [_row(going, found[0], len(found) - 1) for found in list(alike.values())[:top]]


def _row(going: GoingOn, outcome: Outcome, more: int) -> str:
    """The mistake, what it breaks, how it ends, each on a line of its own."""
    like = f" (and {more} more of this kind here)" if more else ""
    told = (*broken_in_words(outcome), end_in_words(going, outcome))
    return "\n      ".join((f"{mistakes_in_words(going, outcome)}{like}", *told))
