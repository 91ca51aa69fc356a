"""A trainer asks of a whole fleet: whichever two units come together, which single mistake would nobody notice, or too late?

A part is one job: two ends under one set of local rules. Nothing is planned beforehand: whoever works a part out plans its job.
It says what the model shows, never how often it happens.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, ClassVar

from pydantic import BaseModel

from headstock.base.errors import Fault, InputError
from headstock.base.located import path_text
from headstock.equipment.library import Fleet
from headstock.local_rules.mistake_plausibility import MistakePlausibility
from headstock.physics.air_run import AirEngine
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome, outcome_of, say_fact
from headstock.reasoning.mistakes import single_mistakes
from headstock.usecases.any_study import FORMAT, Means
from headstock.usecases.job_file import JobPapers, job_papers
from headstock.usecases.job_mistakes import rank_of, ready_to_go_wrong
from headstock.usecases.made_job import JobMade, made_job
from headstock.usecases.mistake_study_file import MistakePapers, MistakeStudyFile, pairs_of
from headstock.usecases.mistake_words import mistake_in_words
from headstock.usecases.plan_job import plan_papers

APART = 1_000_000
"""Scenarios of a part are numbered from this times its number."""


@dataclass(frozen=True, slots=True)
class MistakeRow:
    """One mistake of one job and what becomes of it; of a job without an order of work one row with ``reasons`` alone.

    ``lines``: of the order; ``line``: where the mistake is made, ``first`` where the order first differs (1 is the first).
    ``broken``: rules broken before anybody notices, ``broken_line`` the first of them; ``hurts``: how each hurts.
    ``noticed_line``: past the last where it is noticed at the handing over, None where nobody notices.
    ``left``: what is then wrong in service.
    """

    number: int
    answer: str
    reasons: tuple[str, ...]
    lines: int = 0
    line: int | None = None
    first: int | None = None
    role: str = ""
    step: str = ""
    kind: str | None = None
    how: str = ""
    plausibility: int | None = None
    verdict: str | None = None
    broken: tuple[str, ...] = ()
    broken_line: int | None = None
    hurts: tuple[str, ...] = ()
    noticed_line: int | None = None
    noticed_by: str = ""
    means: str = ""
    left: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True)
class PairUnderRules:
    """The job of one part."""

    moving: str
    standing: str
    rules: str
    papers: JobPapers

    @property
    def pair(self) -> str:
        """What the pair is called in the results."""
        return f"{self.moving}_with_{self.standing}".replace("/", "-")

    @property
    def folder(self) -> Path:
        """Where its results lie."""
        return Path(f"pair={self.pair}") / f"local_rules={self.rules}"


@dataclass(frozen=True)
class MistakeStudy:
    """A study with its jobs written, none of them planned."""

    kind: ClassVar[str] = "mistakes"
    rests_on: ClassVar[tuple[str, ...]] = (
        "physics", "reasoning", "devices", "equipment", "local_rules", "formation", "capability", "procedures", "usecases",
    )  # fmt: skip

    file: MistakeStudyFile
    jobs: tuple[PairUnderRules, ...]
    fleet: Fleet
    plausibility: MistakePlausibility

    @property
    def parts(self) -> int:
        """One of each job."""
        return len(self.jobs)

    def folder_of(self, part: int) -> Path:
        """Where a part lies."""
        return self.jobs[part].folder

    def worked_out(self, part: int, means: Means) -> list[MistakeRow]:
        """The rows of a part."""
        return self.rows(part, means.engine)

    def rows(self, part: int, engine: AirEngine) -> list[MistakeRow]:
        """Every mistake of one job; where it has no order of work, or none that can be gone through, why not."""
        plan = plan_papers(self.jobs[part].papers, self.fleet, engine)
        going, reasons = ready_to_go_wrong(plan)
        if going is None:
            return [MistakeRow(part * APART, plan.answer if plan.answer != "yes" else "outside the model", reasons)]
        wanted = set(self.file.mistakes)
        mistakes = [one for one in single_mistakes(going) if not wanted or one.kind in wanted]
        rows = [self._row(part * APART + number, going, outcome_of(going, mistake)) for number, mistake in enumerate(mistakes)]
        return rows or [MistakeRow(part * APART, "yes", ("no such mistake can be made in this order",), len(going.order))]

    def _row(self, number: int, going: GoingOn, outcome: Outcome) -> MistakeRow:
        mistake, noticing, step = outcome.mistake, outcome.noticing, going.order[outcome.mistake.line]
        broken = {one.key: one for one in reversed(outcome.broken)}
        return MistakeRow(
            number, "yes", (), len(going.order), mistake.line + 1, mistake.first + 1, step.role, step.key, mistake.kind,
            mistake.how, rank_of(mistake, self.plausibility), outcome.verdict, tuple(sorted(broken)),
            min((one.line for one in broken.values()), default=None),
            tuple(sorted({one.hurts for one in broken.values()})), noticing.line if noticing is not None else None,
            noticing.who if noticing is not None else "", noticing.means if noticing is not None else "",
            tuple(say_fact(going, fact) for fact in outcome.left), mistake_in_words(going, mistake),
        )  # fmt: skip

    @cached_property
    def key(self) -> str:
        """Digest of all that the results hang on, but for the code."""
        types = sorted({name.split("/")[0] for job in self.jobs for name in (job.moving, job.standing)})
        papers = [(one.folder.as_posix(), *(paper.model_dump_json() for paper in _papers(one.papers))) for one in self.jobs]
        described = [self.fleet.types[name].model_dump_json() for name in types]
        content = repr((FORMAT, papers, described, self.plausibility.model_dump_json(), self.file.mistakes))
        return hashlib.sha256(content.encode()).hexdigest()[:32]

    def said(self) -> dict[str, Any]:
        """What its folder says of it."""
        ranks, first = self.plausibility, self.jobs[0].papers
        return {
            "parts": self.parts,
            "ranks": ranks.name, "ranks_edition": ranks.edition, "ranks_invented": ranks.invented, "ranks_note": ranks.note,
            "place": first.place.name, "method": first.method.name, "method_edition": first.method.edition,
            "settings": [
                {"pair": one.pair, "moving": one.moving, "standing": one.standing, "local_rules": one.rules,
                 "local_rules_name": one.papers.rules.name, "local_rules_edition": one.papers.rules.edition,
                 "moving_issue": self._issue(one.moving), "standing_issue": self._issue(one.standing)}
                for one in self.jobs
            ],
        }  # fmt: skip

    def _issue(self, end: str) -> str:
        return self.fleet.types[end.split("/", maxsplit=1)[0]].issue


def _papers(papers: JobPapers) -> tuple[BaseModel, ...]:
    return papers.job, papers.place, papers.rules, papers.method, papers.triggers


def mistake_study(papers: MistakePapers, fleet: Fleet) -> MistakeStudy:
    """The study with its jobs written. Raises InputError for what cannot be meant, and for one above its own budget."""
    file, pairs = papers.study, pairs_of(papers, fleet)
    count = len(pairs) * len(papers.rules)
    if count > file.most_jobs:
        at = ("most_jobs",)
        fault = Fault("the study is larger than it says it may be", papers.document.name, papers.document.line_of(at),
                      path_text(at), f"{count:,} jobs ({len(pairs):,} pairs, {len(papers.rules)} local rules)",
                      f"at most {file.most_jobs:,}")  # fmt: skip
        raise InputError(fault, cure="Take fewer of something, or raise most_jobs.")
    jobs = []
    for moving, standing in pairs:
        for number, rules in enumerate(papers.rules):
            made = JobMade(moving, standing, file.place, file.local_rules[number], file.method, file.crew, file.invented)
            jobs.append(PairUnderRules(moving, standing, rules, job_papers(made_job(made, fleet), papers.beside)))
    return MistakeStudy(file, tuple(jobs), fleet, papers.plausibility)
