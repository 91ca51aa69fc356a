"""``mistakes``: what becomes of each mistake in a job, who notices, and what nobody would."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.cli.commands.plan import NO_ORDER
from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome
from headstock.usecases.job_mistakes import MISTAKE_CAUTION, JobMistakes, JobPairs, job_mistakes, rank_of
from headstock.usecases.mistake_sections import MistakeRow, count_words, counts_of, mistake_sections
from headstock.usecases.mistake_words import (
    added_in_words,
    end_in_words,
    mistake_in_words,
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


def mistakes_as_json(answer: JobMistakes, top: int) -> dict[str, Any]:
    """The answer as plain values: all single mistakes, the worst first; rankings; ``top`` pairs."""
    rules, going, ranks = answer.plan.papers.rules, answer.going, answer.plausibility
    value: dict[str, Any] = {
        "answer": answer.answer, "job": answer.plan.papers.job.title, "reasons": list(answer.reasons),
        "local_rules": {"name": rules.name, "edition": rules.edition},
        "plausibility": {"name": ranks.name, "edition": ranks.edition, "invented": ranks.invented, "note": ranks.note},
        "note": MISTAKE_CAUTION,
    }  # fmt: skip
    if going is None:
        return value
    value["lines"] = len(going.order)
    value["counts"] = counts_of(answer.outcomes)
    value["mistakes"] = [_outcome(answer, going, outcome) for outcome in answer.outcomes]
    value["omissions"] = [outcome.mistake.line + 1 for outcome in answer.omissions]
    value["looks"] = [
        {"line": w.line, "does": going.order[w.line - 1].key, "reveals": w.reveals, "latent_without": w.latent,
         "unseen_without": w.unseen, "lines_longer": w.lines_longer}
        for w in answer.looks
    ]  # fmt: skip
    value["added_looks"] = [
        {"at": look.key, "before_line": look.before_line, "reveals": len(look.reveals), "words": added_in_words(going, look)}
        for look in answer.added
    ]
    value["no_look_shows"] = len(answer.blind)
    if answer.pairs is not None:
        value["pairs"] = _pairs(answer, going, answer.pairs, top)
    return value


def _outcome(answer: JobMistakes, going: GoingOn, outcome: Outcome) -> dict[str, Any]:
    noticing = outcome.noticing
    return {
        "mistakes": [
            {"kind": m.kind, "lines": [line + 1 for line in m.lines], "past_line": None if m.past is None else m.past + 1,
             "how": m.how, "plausibility": rank_of(m, answer.plausibility), "words": mistake_in_words(going, m)}
            for m in outcome.mistakes
        ],
        "verdict": outcome.verdict,
        "broken": [{"line": b.line, "constraint": b.key, "text": b.text, "hurts": b.hurts} for b in outcome.broken],
        "noticed": None if noticing is None else
        {"line": noticing.line, "who": noticing.who, "by": noticing.means, "text": noticing.text},
        "left_wrong": [f"{key}={value}" for key, value in outcome.left],
        "words": end_in_words(going, outcome),
    }  # fmt: skip


def _pairs(answer: JobMistakes, going: GoingOn, pairs: JobPairs, top: int) -> dict[str, Any]:
    count = pairs.count
    return {
        "least_plausibility": pairs.least_plausibility, "mistakes": pairs.mistakes, "run": count.run,
        "settled_without_running": count.settled, "of_one_line": count.not_two,
        "verdicts": {verdict: count.verdicts[verdict] for verdict in ("noticed", "latent", "unseen", "harmless")},
        "worse_than_apart": count.worse, "worst": [_outcome(answer, going, outcome) for outcome in pairs.worst[:top]],
    }  # fmt: skip


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
    for text in count_words(answer):
        console.print(text)
    for section in mistake_sections(answer, top):
        console.print()
        console.print(section.heading, style="bold")
        for row in section.rows or (MistakeRow("none"),):
            console.print("\n      ".join((f"  - {row.what}", *row.follows)), soft_wrap=True)
