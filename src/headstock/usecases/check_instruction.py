"""An author asks: has this instruction holes? Answered line by line, each with how it hurts. Never "it is safe"."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.procedures.work import domain_of
from headstock.reasoning.checker import CheckResult, check
from headstock.reasoning.step import Step
from headstock.usecases.assemble import AssembledJob, assemble
from headstock.usecases.job_file import CrewRole, load_job


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class InstructionLine(_Part):
    """One line: who does what, in the words of the job's steps."""

    who: CrewRole = Field(description="the role that does it")
    does: str = Field(min_length=3, description="the step, in the words that `plan` writes")


class InstructionFile(_Part):
    """A written instruction."""

    title: str = Field(min_length=1, description="what the instruction is called")
    steps: tuple[InstructionLine, ...] = Field(min_length=1, max_length=2000, description="the lines in order")


@dataclass(frozen=True, slots=True)
class InstructionCheck:
    """What the checker found; ``nearest`` gives for an unknown line the step it may have meant."""

    title: str
    assembled: AssembledJob
    result: CheckResult | None
    nearest: dict[int, str]
    reasons: tuple[str, ...]

    @property
    def is_outside(self) -> bool:
        """Whether this edition does not plan such a job, so that nothing can be said of the instruction."""
        return self.assembled.task is None and not self.assembled.refusals

    @property
    def holds(self) -> bool:
        """Whether no hole was found."""
        return self.result is not None and self.result.holds


def check_instruction(path: Path, job: Path, fleet: Fleet, engine: AirEngine | None = None) -> InstructionCheck:
    """Check an instruction against a job. Raises InputError for files that cannot be meant."""
    written = load_instruction(path)
    assembled = assemble(load_job(job), fleet, engine)
    if assembled.task is None:
        return InstructionCheck(written.title, assembled, None, {}, assembled.refusals + assembled.outside)
    domain = domain_of(assembled.task)
    steps = {step.ident: step for step in domain.steps}
    order: list[Step | str] = []
    nearest: dict[int, str] = {}
    for number, line in enumerate(written.steps, start=1):
        step = steps.get((line.who, line.does))
        order.append(step if step is not None else f"{line.who}: {line.does}")
        if step is None:
            near = nearest_of(f"{line.who}: {line.does}", [f"{role}: {key}" for role, key in steps])
            if near is not None:
                nearest[number] = near
    return InstructionCheck(written.title, assembled, check(order, domain), nearest, ())


def load_instruction(path: Path) -> InstructionFile:
    """A written instruction. Raises InputError with every fault."""
    return load_as(read_document(path), InstructionFile, "instruction")


def instruction_text(title: str, steps: tuple[Step, ...]) -> str:
    """An order of work as an instruction file."""
    lines = ["headstock: instruction 1", f"title: {json.dumps(title)}", "steps:"]
    lines += [f"  - {{who: {step.role}, does: {json.dumps(step.key)}}}" for step in steps]
    return "\n".join(lines) + "\n"
