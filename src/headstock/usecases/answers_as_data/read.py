"""The answer of ``read`` as plain values."""

from __future__ import annotations

from typing import Any

from headstock.usecases.read_files import FileRead


def read_as_json(answer: FileRead) -> dict[str, Any]:
    """What a file is, and every fault of it."""
    return {
        "file": answer.file, "kind": answer.kind, "title": answer.title, "edition": answer.edition,
        "invented": answer.invented, "faults": [fault.as_json() for fault in answer.faults], "notes": list(answer.notes),
    }  # fmt: skip
