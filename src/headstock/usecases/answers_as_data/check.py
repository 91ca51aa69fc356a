"""The answer of ``check`` as plain values."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.reasoning.amended import Change
from headstock.reasoning.run import Complaint
from headstock.reasoning.step import Step
from headstock.usecases.check_instruction import InstructionCheck
from headstock.usecases.check_words import shown_words
from headstock.usecases.line_matching import LineMatch
from headstock.usecases.written_instruction import Instruction


def check_as_json(answer: InstructionCheck, written: Path | None) -> dict[str, Any]:
    """The answer as plain values."""
    instruction = answer.instruction
    matches = instruction.matches if instruction is not None else ()
    complaints = answer.result.complaints if answer.result is not None else ()
    value: dict[str, Any] = {
        "holds": answer.holds, "reasons": list(answer.reasons),
        "complaints": [
            {**_complaint(c, instruction), "hurts": c.hurts,
             "nearest": instruction.nearest.get(c.line) if instruction is not None and c.kind == "unknown step" else None,
             "shown_by": _complaint(r.shown_by, instruction) if r.shown_by is not None else None,
             "shown": shown_words(c, r, instruction)}
            for c, r in zip(complaints, answer.shown, strict=True)
        ],
        "lines": None, "matches": [_match(match) for match in matches], "repair": None,
    }  # fmt: skip
    if matches and instruction is not None:
        value["lines"] = {name: instruction.count(name) for name in ("sure", "doubtful", "none")}
        value["lines"]["headings"] = len(instruction.headings)
    if answer.repair is not None:
        value["repair"] = {
            "answer": answer.repair.answer, "planned_from": answer.repair.planned_from,
            "changes": [_change(change, instruction) for change in answer.repair.changes],
        }  # fmt: skip
    value["repaired"] = str(written) if written is not None else None
    return value


def _complaint(c: Complaint, instruction: Instruction | None) -> dict[str, Any]:
    return {"line": c.line, "file_line": _file_line(c.line, instruction), "step": c.step, "kind": c.kind, "about": c.about,
            "text": c.text}  # fmt: skip


def _file_line(line: int, instruction: Instruction | None) -> int | None:
    lines = instruction.file_lines if instruction is not None else ()
    return lines[line - 1] if 0 < line <= len(lines) else None


def _match(match: LineMatch) -> dict[str, Any]:
    return {
        "file_line": match.line.number, "text": match.line.raw, "certainty": match.certainty, "score": round(match.score, 3),
        "steps": [{"who": step.role, "does": step.key} for step in match.steps], "why": list(match.why),
        "others": [{"who": o.step.role, "does": o.step.key, "score": round(o.score, 3)} for o in match.others],
    }  # fmt: skip


def _change(change: Change, instruction: Instruction | None) -> dict[str, Any]:
    step = change.step
    return {
        "kind": change.kind, "who": step.role if isinstance(step, Step) else "",
        "does": step.key if isinstance(step, Step) else step,
        "line": change.line, "file_line": _file_line(change.line, instruction),
        "before": change.before, "before_file_line": _file_line(change.before, instruction),
    }  # fmt: skip
