"""The answer of ``due`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.local_rules.tests_due import Spoken
from headstock.usecases.which_tests import WhichTests


def due_as_json(answer: WhichTests) -> dict[str, Any]:
    """Tests that are due, with every entry that asks for them."""
    triggers, result = answer.triggers, answer.result
    named = {"name": triggers.name, "edition": triggers.edition, "invented": triggers.invented, "for_use": triggers.for_use}
    return {
        "answer": result.answer, "triggers": named, "events": list(answer.events), "facts": dict(answer.facts),
        "due": [asdict(test) for test in result.due], "fired": [_entry(entry) for entry in result.fired],
        "may_fire": [_entry(entry) for entry in result.may_fire], "silent": list(result.silent),
        "missing": list(result.missing), "notes": list(result.notes),
    }  # fmt: skip


def _entry(entry: Spoken) -> dict[str, Any]:
    return {**asdict(entry), "source": entry.source.model_dump()}
