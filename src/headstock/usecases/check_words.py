"""The answer of ``check`` in words: where a hole is, what shows it, what to add, move or leave out, how lines were taken."""

from __future__ import annotations

from headstock.reasoning.amended import Change
from headstock.reasoning.repair import RepairResult
from headstock.reasoning.reveal import Reveal
from headstock.reasoning.run import Complaint
from headstock.reasoning.step import Step
from headstock.usecases.line_matching import LineMatch
from headstock.usecases.written_instruction import Instruction

HIDDEN = "nothing in this instruction: it stays hidden into service"


def line_number(line: int, instruction: Instruction | None) -> str:
    """A line as the author counts it: the file's for a plain text, the step's number else."""
    lines = instruction.file_lines if instruction is not None else ()
    return f"line {lines[line - 1]}" if 0 < line <= len(lines) else f"line {line}"


def place_words(c: Complaint, instruction: Instruction | None) -> str:
    """Where a hole is."""
    if c.line == 0:
        return "as found, mend first"
    return "end state" if c.kind == "end state" else f"{line_number(c.line, instruction)}, {c.step}"


def shown_words(c: Complaint, reveal: Reveal, instruction: Instruction | None) -> str:
    """What would show a hole, and when."""
    shown = reveal.shown_by
    if c.kind == "unknown step":
        return "shown by: whoever reads it, it is no step of this job"
    if not reveal.looked_for:
        return "shown by: not looked for, too many holes come before it"
    if shown is None:
        return f"shown by: {HIDDEN}"
    when = "had shown already" if reveal.earlier else "shown by"
    return f"{when}: {line_number(shown.line, instruction)}, {shown.step}: {shown.text}"


def repair_heading(mended: RepairResult, instruction: Instruction | None) -> str:
    """The answer about the repair, or which kind of no."""
    if mended.answer == "impossible":
        return "Repair: none. Nothing leads to the end state, neither from there nor from the start."
    if mended.answer != "repaired":
        return f"Repair: none found within the budget ({mended.tried} tried); that proves nothing."
    if mended.planned_from:
        where = line_number(mended.planned_from, instruction)
        return f"Repair, the rest planned anew from {where} on, {_counted(len(mended.changes))}:"
    return f"Repair, {_counted(len(mended.changes))}, none of which can be spared:"


def _counted(changes: int) -> str:
    return f"{changes} change{'' if changes == 1 else 's'}"


def change_words(change: Change, instruction: Instruction | None) -> str:
    """What to add, move or leave out."""
    step = change.step
    does = f"{step.role}: {step.key}" if isinstance(step, Step) else step
    last = len(instruction.order) if instruction is not None else 0
    where = "at the end" if change.before > last else f"before {line_number(change.before, instruction)}"
    if change.kind == "leave out":
        return f"leave out {line_number(change.line, instruction)}, {does}"
    if change.kind == "move":
        return f"move {line_number(change.line, instruction)} {where}: {does}"
    return f"add {where}: {does}"


def match_words(match: LineMatch) -> list[str]:
    """How a line was taken, where that is not plain: several steps, doubts, or nothing found."""
    if match.certainty == "sure" and len(match.steps) == 1:
        return []
    taken = "; ".join(f"{step.role}: {step.key}" for step in match.steps)
    head = {"sure": "stands for", "doubtful": "doubtful, taken for", "none": "matches nothing"}[match.certainty]
    lines = [f"line {match.line.number}, {match.line.raw}: {head}{f' {taken}' if taken else ''}"]
    lines += [f"    why: {reason}" for reason in match.why]
    lines += [f"    could be: {other.step.role}: {other.step.key} ({other.score:.2f})" for other in match.others
              if match.certainty != "sure"]  # fmt: skip
    return lines
