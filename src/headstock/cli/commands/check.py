"""``check``: holes of a written instruction, in the order in which they occur."""

from __future__ import annotations

from pathlib import Path

from headstock.cli.reply import NO, NOT_YET, YES, print_json
from headstock.usecases.check_instruction import InstructionCheck, check_instruction
from headstock.wiring import air_engine, fleet_from


def run_check(instruction: Path, job: Path, as_json: bool, fleet: Path | None) -> int:
    """Check and print; exit status 0 when no hole was found."""
    answer = check_instruction(instruction, job, fleet_from(fleet), air_engine())
    complaints = answer.result.complaints if answer.result is not None else ()
    if as_json:
        print_json({
            "holds": answer.holds, "reasons": list(answer.reasons),
            "complaints": [
                {"line": c.line, "step": c.step, "kind": c.kind, "about": c.about, "text": c.text, "hurts": c.hurts,
                 "nearest": answer.nearest.get(c.line) if c.kind == "unknown step" else None}
                for c in complaints
            ],
        })  # fmt: skip
        return _status(answer)
    for reason in answer.reasons:
        print(f"cannot be done: {reason}")
    for c in complaints:
        where = "as found, mend first" if c.line == 0 else f"line {c.line}, {c.step}" if c.kind != "end state" else "end state"
        print(f"{where}: {c.text}" + (f" ({c.hurts})" if c.hurts else ""))
        if c.kind == "unknown step" and c.line in answer.nearest:
            print(f"    nearest step: {answer.nearest[c.line]}")
    if answer.result is None:
        print(f"{answer.title}: not checked.")
        return _status(answer)
    lines = answer.result.lines
    holes = len(answer.result.holes)
    print(f"{answer.title}: {lines} lines, {holes or 'no'} hole{'' if holes == 1 else 's'} found.")
    print("A check on paper, no permission: the rule book and the person in charge come first.")
    return _status(answer)


def _status(answer: InstructionCheck) -> int:
    """0 no hole, 1 holes or refused, 3 outside the model."""
    if answer.is_outside:
        return NOT_YET
    return YES if answer.holds else NO
