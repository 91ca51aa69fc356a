"""``read``: what files are, and every fault of each."""

from __future__ import annotations

from pathlib import Path

from headstock.base.errors import one_line
from headstock.cli.reply import BAD_INPUT, YES, print_json
from headstock.usecases.answers_as_data.read import read_as_json
from headstock.usecases.read_files import FileRead, read_files
from headstock.wiring import fleet_from


def run_read(files: list[Path], as_json: bool, fleet: Path | None) -> int:
    """Read and print; exit status 0 when no file has a fault."""
    answers = read_files(files, fleet_from(fleet))
    if as_json:
        print_json([read_as_json(answer) for answer in answers])
    else:
        for answer in answers:
            _print(answer)
        print("Read for form, and for what hangs together. Whether a figure is right, its source says.")
    return BAD_INPUT if any(answer.faults for answer in answers) else YES


def _print(answer: FileRead) -> None:
    edition = f"edition {answer.edition}" if answer.edition else ""
    what = ", ".join(part for part in (answer.kind, answer.title, edition, "invented" if answer.invented else "") if part)
    count = len(answer.faults)
    found = f"{count} fault{'' if count == 1 else 's'}" if count else "no fault found"
    print(one_line(f"{answer.file}: {f'{what}: ' if what else ''}{found}"))
    for fault in answer.faults:
        print(f"  {fault.text()}")
    for note in answer.notes:
        print(one_line(f"  note: {note}"))
