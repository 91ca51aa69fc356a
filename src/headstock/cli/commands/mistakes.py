"""``mistakes``: what becomes of each mistake in a job, who notices, and what nobody would."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.commands.plan import NO_ORDER
from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.usecases.answers_as_data.mistakes import mistakes_as_json
from headstock.usecases.job_mistakes import MISTAKE_CAUTION, JobMistakes, job_mistakes
from headstock.usecases.mistake_sections import MistakeRow, count_words, mistake_sections
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
    for text in count_words(answer):
        console.print(text)
    for section in mistake_sections(answer, top):
        console.print()
        console.print(section.heading, style="bold")
        for row in section.rows or (MistakeRow("none"),):
            console.print("\n      ".join((f"  - {row.what}", *row.follows)), soft_wrap=True)
