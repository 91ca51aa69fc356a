"""Questions about an order of work: which, has it holes, what if somebody goes wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from headstock.notebook.given import Job, job_of
from headstock.notebook.shown import Answer, Lines, Part, Table
from headstock.usecases.answers_as_data.check import check_as_json
from headstock.usecases.answers_as_data.mistakes import mistakes_as_json
from headstock.usecases.answers_as_data.plan import plan_as_json
from headstock.usecases.check_instruction import InstructionCheck, check_instruction
from headstock.usecases.check_words import change_words, place_words, repair_heading, shown_words
from headstock.usecases.found_cautions import found_cautions
from headstock.usecases.job_mistakes import MISTAKE_CAUTION, JobMistakes, job_mistakes
from headstock.usecases.joint_opening import opening_words
from headstock.usecases.method_due import method_due
from headstock.usecases.mistake_sections import count_words, mistake_sections
from headstock.usecases.place_cautions import place_cautions
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.wiring import air_engine, pairs_abreast, print_cards, print_sheet

TOP = 10


@dataclass(frozen=True, repr=False)
class Plan(Answer):
    """The order of work of a job, with why each step is there."""

    job: Job
    result: JobPlan

    @property
    def title(self) -> str:
        """The job's title."""
        return self.job.title

    @property
    def answer(self) -> str:
        """``yes``, ``no``, ``not found`` or ``outside the model``."""
        return self.result.answer

    @property
    def reasons(self) -> tuple[str, ...]:
        """Every reason why there is no order."""
        return self.result.reasons

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock plan --json``: times in s."""
        return plan_as_json(self.result, ())

    @property
    def cautions(self) -> tuple[str, ...]:
        """Those of the local rules, the place, and of what is found otherwise."""
        papers, task = self.result.papers, self.result.assembled.task
        said = (*super().cautions, *papers.rules.cautions.value, *place_cautions(papers.place))
        if task is None or self.answer != "yes":
            return said
        opening = opening_words(task)
        return (*said, *found_cautions(task), *((opening,) if opening else ()))

    def parts(self) -> Iterator[Part]:
        """The train as found, the lines of the order, what they cost, which tests are due."""
        if self.job.drawing is not None:
            yield self.job.drawing
        order = self.result.order
        if self.answer != "yes" or order is None:
            return
        rows = tuple(
            (str(number), step.role, step.key + (f" Caution: {step.caution}" if step.caution else ""), because.words())
            for number, (step, because) in enumerate(zip(order.steps, self.result.because, strict=True), start=1)
        )
        yield Table("Order of work", ("line", "who", "does", "because"), rows)
        best = "No order of these steps costs less." if order.proved_best else "Not proved the shortest."
        due = method_due(self.result.papers, self.result.assembled.task)
        cost = f"Sum of allowances, walking and entries: {order.cost_s / 60:.0f} min. {best}"
        yield Lines("", tuple(line for line in (cost, due.only_if(), *due.words()) if line))

    def write_sheet(self, folder: Path | str) -> tuple[Path, ...]:
        """Print pocket cards and sheet (PDF) into a folder; returns their paths, none without an order. Raises InputError."""
        if self.answer != "yes":
            return ()
        return print_cards(self.result, Path(folder)), print_sheet(self.result, Path(folder))


def plan(job: Job | Path | str) -> Plan:
    """The order of work of a job: who does what, in which order, and why; checked line by line by a checker of its own.

    The cost of the order is in seconds of the local rules' allowances. A no comes with every reason and is no error.
    Raises InputError for a file that cannot be meant. Source: the local rules and unit types that the job names.
    """
    asked = job_of(job)
    return Plan(asked, plan_job(asked.path, asked.fleet.unit_types, air_engine()))


@dataclass(frozen=True, repr=False)
class Check(Answer):
    """Every hole of a written instruction, what would show it, and the smallest repair."""

    job: Job
    result: InstructionCheck

    @property
    def title(self) -> str:
        """The instruction's title."""
        return self.result.title

    @property
    def answer(self) -> str:
        """``no hole found``, how many, or ``not checked``."""
        if self.result.result is None:
            return "not checked"
        holes = len(self.result.result.holes)
        if holes:
            return f"{holes} hole{'' if holes == 1 else 's'} found"
        return "no hole found" if self.result.holds else "no hole found, but lines are doubtful"

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why nothing was checked."""
        return self.result.reasons

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock check --json``."""
        return check_as_json(self.result, None)

    def parts(self) -> Iterator[Part]:
        """A row a hole, then the repair."""
        found, instruction = self.result, self.result.instruction
        if found.result is None or instruction is None:
            return
        rows = tuple(
            (place_words(c, instruction), c.text, c.hurts, shown_words(c, shown, instruction))
            for c, shown in zip(found.result.complaints, found.shown, strict=True)
        )
        if rows:
            yield Table("", ("where", "what is wrong", "hurts", "shown by"), rows)
        if found.repair is not None:
            changes = tuple(change_words(change, instruction) for change in found.repair.changes)
            yield Lines(repair_heading(found.repair, instruction), changes)


def check(instruction: Path | str, job: Job | Path | str, words: Path | str | None = None) -> Check:
    """Has a written instruction holes? ``instruction``: a file of ours, or numbered plain text in a file.

    ``words``: a file of one's own trade words. Raises InputError for files that cannot be meant.
    Source: the local rules that the job names; the checker shares no search with the planner.
    """
    asked = job_of(job)
    own = None if words is None else Path(words)
    return Check(asked, check_instruction(Path(instruction), asked.path, asked.fleet.unit_types, air_engine(), own))


@dataclass(frozen=True, repr=False)
class Mistakes(Answer):
    """What becomes of each mistake in a job."""

    job: Job
    result: JobMistakes

    @property
    def title(self) -> str:
        """The job's title."""
        return f"{self.job.title}, mistakes"

    @property
    def answer(self) -> str:
        """That of the plan: a mistake found is an answer, not a failure."""
        return self.result.answer

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why there is no order of work to go wrong in."""
        return self.result.reasons

    @property
    def cautions(self) -> tuple[str, ...]:
        """Also what is not in the model."""
        return (*super().cautions, MISTAKE_CAUTION)

    @property
    def data(self) -> dict[str, Any]:
        """As ``headstock mistakes --json``."""
        return mistakes_as_json(self.result, TOP)

    def parts(self) -> Iterator[Part]:
        """How many there are, then section by section, the worst first."""
        if self.result.going is None:
            return
        yield Lines("", count_words(self.result))
        for section in mistake_sections(self.result, TOP):
            yield Lines(section.heading, tuple(": ".join((row.what, *row.follows)) for row in section.rows) or ("none",))


def mistakes(job: Job | Path | str, plausibility: Path | str | None = None, pairs_from: int | None = None) -> Mistakes:
    """What if somebody goes wrong in this job: every single mistake, who notices and when, what nobody would.

    ``plausibility``: a file of one's own ranks, which have no unit: no rate of error is claimed. ``pairs_from`` (1 to 3): also
    every two mistakes of at least that rank, on all cores. Raises InputError for files that cannot be meant, ValueError for
    another rank. Source: the job's order of work and the file of ranks.
    """
    if pairs_from is not None and pairs_from not in (1, 2, 3):
        raise ValueError(f"pairs_from is a rank from 1 to 3, not {pairs_from}")
    asked, ranks = job_of(job), None if plausibility is None else Path(plausibility)
    spread = pairs_abreast(asked.fleet.folder) if pairs_from is not None else None
    return Mistakes(asked, job_mistakes(asked.path, asked.fleet.unit_types, air_engine(), ranks, pairs_from, spread))
