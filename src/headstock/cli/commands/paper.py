"""``paper``: a question paper on jobs, printed with an answer sheet and a key apart, and as a QTI package."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from headstock.cli.reply import YES, print_json
from headstock.usecases.question_paper import PAPER_CAUTION, Paper, letter, make_paper
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.wiring import air_engine, fleet_from, print_paper


def run_paper(
    jobs: Sequence[str], count: int, seed: int, sheets: Path | None, qti: Path | None, as_json: bool, fleet: Path | None
) -> int:  # fmt: skip
    """Make a paper; print it, or write it."""
    paper = make_paper(jobs, count, seed, fleet_from(fleet), air_engine())
    written = print_paper(paper, sheets, qti)
    if as_json:
        print_json({"number": paper.number, "seed": paper.seed, "jobs": list(paper.jobs), "key": paper.key,
                    "questions": [_plain(paper, number) for number in range(len(paper.questions))],
                    "written": [str(path) for path in written]})  # fmt: skip
        return YES
    print(f"Caution: {STANDING_CAUTION} {PAPER_CAUTION}")
    print(f"{paper.title} {paper.number}: {', '.join(paper.jobs)}")
    for number, question in enumerate(paper.questions, start=1):
        print(f"{number}. {question.text}")
        for place, option in enumerate(question.options):
            print(f"   {letter(place)}  {option}")
    for path in written:
        print(path)
    return YES


def _plain(paper: Paper, number: int) -> dict[str, object]:
    one = paper.questions[number]
    return {"number": number + 1, "kind": one.kind, "job": one.subject, "text": one.text, "options": list(one.options),
            "right": letter(one.right), "because": one.because}  # fmt: skip
