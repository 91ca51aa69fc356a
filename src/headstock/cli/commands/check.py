"""``check``: holes of a written instruction, in the order in which they occur, what shows each, and the repair."""

from __future__ import annotations

from pathlib import Path

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import NO, NOT_YET, YES, print_json
from headstock.reasoning.step import Step
from headstock.usecases.answers_as_data.check import check_as_json
from headstock.usecases.check_instruction import InstructionCheck, check_instruction
from headstock.usecases.check_words import change_words, match_words, place_words, repair_heading, shown_words
from headstock.usecases.written_instruction import Instruction, instruction_text
from headstock.wiring import air_engine, fleet_from


def run_check(instruction: Path, job: Path, as_json: bool, fleet: Path | None, words: Path | None,
              repaired: Path | None) -> int:  # fmt: skip
    """Check and print; exit status 0 when no hole was found and no line is doubtful."""
    answer = check_instruction(instruction, job, fleet_from(fleet), air_engine(), words)
    written = _write_repaired(answer, repaired) if repaired is not None else None
    if as_json:
        print_json(check_as_json(answer, written))
    else:
        _print_check(answer, written)
    return _status(answer)


def _status(answer: InstructionCheck) -> int:
    """0 no hole, 1 holes, doubts or refused, 3 outside the model."""
    if answer.is_outside:
        return NOT_YET
    return YES if answer.holds else NO


def _write_repaired(answer: InstructionCheck, path: Path) -> Path | None:
    """The mended instruction, where there is one to write; one without a hole as its lines were taken."""
    if answer.instruction is None or answer.result is None:
        return None
    mended = answer.repair
    if mended is not None and mended.answer != "repaired":
        return None
    steps = mended.steps if mended is not None else answer.instruction.order
    try:
        known = [step for step in steps if isinstance(step, Step)]
        path.write_text(instruction_text(answer.title, known), encoding="utf-8")
    except OSError as error:
        fault = Fault("the repaired instruction cannot be written", str(path), found=error.strerror or str(error))
        raise InputError(fault, cure="Name another file with --repaired.") from None
    return path


def _print_check(answer: InstructionCheck, written: Path | None) -> None:
    for reason in answer.reasons:
        print(f"cannot be done: {reason}")
    instruction = answer.instruction
    if answer.result is None or instruction is None:
        print(f"{answer.title}: not checked.")
        return
    for match in instruction.matches:
        for line in match_words(match):
            print(line)
    for heading in instruction.headings:
        kind = "remark" if heading.kind == "remark" else "heading"
        print(f"line {heading.number}: read as a {kind}, not as a step: {heading.raw}")
    for c, shown in zip(answer.result.complaints, answer.shown, strict=True):
        print(f"{place_words(c, instruction)}: {c.text}" + (f" ({c.hurts})" if c.hurts else ""))
        if c.kind == "unknown step" and c.line in instruction.nearest:
            print(f"    nearest step: {instruction.nearest[c.line]}")
        print(f"    {shown_words(c, shown, instruction)}")
    if answer.repair is not None:
        print(repair_heading(answer.repair, instruction))
        for change in answer.repair.changes:
            print(f"    {change_words(change, instruction)}")
    _print_sums(answer, instruction, written)


def _print_sums(answer: InstructionCheck, instruction: Instruction, written: Path | None) -> None:
    if instruction.matches:
        sure, doubtful, none = (instruction.count(name) for name in ("sure", "doubtful", "none"))
        print(f"Lines matched: {sure} surely, {doubtful} doubtfully, {none} not at all; "
              f"{len(instruction.headings)} read as headings or remarks.")  # fmt: skip
        if doubtful or none:
            print("Write each of those in a step's own words, as plan writes them, and check again.")
    holes = len(answer.result.holes) if answer.result is not None else 0
    lines = len(instruction.order)
    print(f"{answer.title}: {lines} {'steps' if instruction.matches else 'lines'}, {holes or 'no'} "
          f"hole{'' if holes == 1 else 's'} found.")  # fmt: skip
    if written is not None:
        print(f"Repaired: {written}")
    print("A check on paper, no permission: the rule book and the person in charge come first.")
