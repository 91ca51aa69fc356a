"""A written instruction as steps of a job: our YAML word for word, or plain text whose lines are matched to steps."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.errors import InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.formation.train import Train
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.usecases.instruction_lines import WrittenLine, is_plain_text, written_lines
from headstock.usecases.job_file import CrewRole
from headstock.usecases.line_matching import LineMatch, match_lines
from headstock.usecases.line_words import WordReader
from headstock.usecases.step_texts import StepTexts, ways_to_say
from headstock.usecases.trade_words import TradeWords

AS_TEXT = (
    "Name an instruction that `plan --instruction` wrote, or plain text in UTF-8: one step a line, 'Shunter: ask for the road'."
)


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
class Instruction:
    """An instruction as an order of steps.

    ``order`` has a text where no step was found; ``nearest`` gives for such a line (1 is the first) what it may have meant.
    ``matches``, ``headings`` and ``file_lines`` (the file's line of each of ``order``) are those of a plain text.
    """

    title: str
    order: tuple[Step | str, ...]
    nearest: dict[int, str]
    matches: tuple[LineMatch, ...] = ()
    headings: tuple[WrittenLine, ...] = ()
    file_lines: tuple[int, ...] = ()

    def count(self, certainty: str) -> int:
        """How many lines of a plain text were matched so surely."""
        return sum(match.certainty == certainty for match in self.matches)

    @property
    def is_certain(self) -> bool:
        """Whether every line was surely matched."""
        return self.count("sure") == len(self.matches)


def read_instruction(path: Path, domain: Domain, train: Train, words: TradeWords) -> Instruction:
    """The instruction in a file, for a job. Raises InputError for a file that cannot be meant."""
    with _cure_named():
        if not is_plain_text(path):
            return _from_yaml(load_instruction(path), domain)
        texts = StepTexts(domain.steps, WordReader(words, names_of(train)))
        lines = written_lines(path, words, _vocabulary(domain, words))
    return _from_text(path, lines, match_lines(lines, texts, domain.start))


def title_of(path: Path) -> str:
    """What an instruction is called, read without its job. Raises InputError for a file that cannot be meant."""
    with _cure_named():
        return path.stem if is_plain_text(path) else load_instruction(path).title


@contextmanager
def _cure_named() -> Iterator[None]:
    """Every refused file says what to do."""
    try:
        yield
    except InputError as error:
        error.cure = error.cure or AS_TEXT
        raise


def load_instruction(path: Path) -> InstructionFile:
    """A written instruction in our YAML. Raises InputError with every fault."""
    return load_as(read_document(path), InstructionFile, "instruction")


def instruction_text(title: str, steps: Sequence[Step]) -> str:
    """An order of work as an instruction file."""
    lines = ["headstock: instruction 1", f"title: {json.dumps(title)}", "steps:"]
    lines += [f"  - {{who: {step.role}, does: {json.dumps(step.key)}}}" for step in steps]
    return "\n".join(lines) + "\n"


def _from_yaml(written: InstructionFile, domain: Domain) -> Instruction:
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
    return Instruction(written.title, tuple(order), nearest)


def _from_text(path: Path, lines: Sequence[WrittenLine], matches: tuple[LineMatch, ...]) -> Instruction:
    order: list[Step | str] = []
    file_lines: list[int] = []
    nearest: dict[int, str] = {}
    for match in matches:
        if not match.steps and match.others:
            near = match.others[0].step
            nearest[len(order) + 1] = f"{near.role}: {near.key}"
        order += match.steps or (match.line.raw,)
        file_lines += [match.line.number] * max(1, len(match.steps))
    steps = {match.line for match in matches}
    headings = tuple(line for line in lines if line not in steps)
    first = lines[0].text.strip("# ")
    title = first if lines[0] in headings and first else path.stem
    return Instruction(title, tuple(order), nearest, matches, headings, tuple(file_lines))


def names_of(train: Train) -> list[str]:
    """Units, their ends and their vehicles, as people write them."""
    names = []
    for unit in train.units:
        names += [unit.name, f"{unit.name}/1", f"{unit.name}/2", *(unit.vehicle_name(s) for s in unit.vehicle_suffixes)]
    return names


def _vocabulary(domain: Domain, words: TradeWords) -> frozenset[str]:
    """Every word that the job's steps or the trade words use."""
    texts = [text for step in domain.steps for text in ways_to_say(step)]
    texts += [way for meaning, ways in words.same.items() for way in (meaning, *ways)]
    return frozenset(word for text in texts for word in re.findall(r"[^\W\d_]+", text.casefold()))
