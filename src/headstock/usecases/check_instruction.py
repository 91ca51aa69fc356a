"""An author asks: has this instruction holes, what would show them, how is it mended? Never "it is safe"."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.procedures.work import domain_of
from headstock.reasoning.checker import CheckResult, check
from headstock.reasoning.repair import RepairResult, repair
from headstock.reasoning.reveal import Reveal, reveals
from headstock.usecases.assemble import AssembledJob, assemble
from headstock.usecases.job_file import load_job
from headstock.usecases.trade_words import BUILT_IN, load_trade_words
from headstock.usecases.written_instruction import Instruction, read_instruction, title_of


@dataclass(frozen=True, slots=True)
class InstructionCheck:
    """What the checker found: complaints, for each what shows it, and the repair. All None or empty where nothing was checked."""

    title: str
    assembled: AssembledJob
    reasons: tuple[str, ...] = ()
    instruction: Instruction | None = None
    result: CheckResult | None = None
    shown: tuple[Reveal, ...] = ()
    repair: RepairResult | None = None

    @property
    def is_outside(self) -> bool:
        """Whether this edition does not plan such a job, so that nothing can be said of the instruction."""
        return self.assembled.task is None and not self.assembled.refusals

    @property
    def holds(self) -> bool:
        """Whether no hole was found and every line is surely a step: a doubtful line never counts in silence."""
        is_certain = self.instruction is not None and self.instruction.is_certain
        return self.result is not None and self.result.holds and is_certain


def check_instruction(path: Path, job: Path, fleet: Fleet, engine: AirEngine | None = None,
                      words: Path | None = None) -> InstructionCheck:  # fmt: skip
    """Check an instruction against a job; ``words`` are one's own trade words. Raises InputError for what cannot be meant."""
    spoken = load_trade_words(words or BUILT_IN)
    title = title_of(path)
    assembled = assemble(load_job(job), fleet, engine)
    if assembled.task is None:
        return InstructionCheck(title, assembled, assembled.refusals + assembled.outside)
    domain = domain_of(assembled.task)
    instruction = read_instruction(path, domain, assembled.task.train, spoken)
    result = check(instruction.order, domain)
    shown = reveals(instruction.order, domain, result.complaints)
    mended = repair(instruction.order, domain) if result.holes else None
    return InstructionCheck(instruction.title, assembled, (), instruction, result, shown, mended)
