"""An instructor asks: a paper on these jobs, so many questions, the same again when I need it. Every answer is computed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.practice.question_makers import MAKERS
from headstock.practice.questions import Question, Subject, paper_of, pool_of
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.job_file import JOBS_FOLDER, job_path
from headstock.usecases.plan_job import plan_job

MOST_QUESTIONS = 200
PAPER_CAUTION = (
    "Answers hold for the trains, places and local rules named, as the model reckons them. A paper is evidence for a sign-off "
    "book, never the sign-off."
)


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper: its number (from jobs, count and seed), the jobs by title, the questions; whether its data are invented."""

    number: str
    title: str
    jobs: tuple[str, ...]
    questions: tuple[Question, ...]
    seed: int
    invented: bool

    @property
    def key(self) -> str:
        """The right options as letters."""
        return "".join(letter(question.right) for question in self.questions)


def letter(number: int) -> str:
    """The letter of an option."""
    return "ABCD"[number]


def make_paper(jobs: Sequence[str], count: int, seed: int, fleet: Fleet, engine: AirEngine) -> Paper:
    """A paper on built-in jobs by name, or job files; all built-in ones if none is named. Raises InputError."""
    if not 1 <= count <= MOST_QUESTIONS:
        raise InputError(Fault("not a number of questions", found=str(count), expected=f"1 to {MOST_QUESTIONS}"))
    paths = [job_path(name, Path()) for name in jobs] or sorted(JOBS_FOLDER.glob("*.yaml"))
    made = [_subject(path, fleet, engine) for path in paths]
    pool = pool_of([subject for subject, _, _ in made], MAKERS, seed)
    if count > len(pool):
        raise InputError(Fault("more than these jobs give", found=f"{count} questions", expected=f"at most {len(pool)}"))
    names = "-".join(path.stem for path in paths) if jobs else "all"
    number = f"{names}-{count}-{seed}"
    return Paper(number, "Question paper", tuple(title for _, title, _ in made), paper_of(pool, count, seed), seed,
                 any(invented for _, _, invented in made))  # fmt: skip


def _subject(path: Path, fleet: Fleet, engine: AirEngine) -> tuple[Subject, str, bool]:
    plan = plan_job(path, fleet, engine)
    task, domain, order = plan.assembled.task, plan.domain, plan.order
    if plan.answer != "yes" or task is None or domain is None or order is None:
        raise OutsideModelError(
            "no order of work, so nothing can be asked about it", where=str(path), why="; ".join(plan.reasons)
        )
    job = plan.papers.job
    return Subject(path.stem, task, domain, order.steps, forecast_of(plan, engine)), job.title, job.invented
