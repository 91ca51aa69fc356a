"""A job broken off or handed over as plain values."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from headstock.procedures.explain import Because
from headstock.reasoning.step import Step
from headstock.usecases.half_done import Done, Standing
from headstock.usecases.relieve_job import JobRelieved
from headstock.usecases.stop_job import JobStopped


def half_done_as_json(found: JobStopped | JobRelieved, written: Path | None) -> dict[str, Any]:
    """The answer as plain values."""
    value: dict[str, Any] = {
        "answer": found.answer, "job": found.plan.papers.job.title, "after_line": found.line, "reasons": list(found.reasons),
        "local_rules": {"name": found.plan.papers.rules.name, "edition": found.plan.papers.rules.edition},
        "done": [_done(done) for done in found.done], "stands": _standing(found.stands), "notes": list(found.notes),
    }  # fmt: skip
    if isinstance(found, JobRelieved):
        value |= {
            "role": found.role, "going_off": found.off, "relief": found.on, "told": list(found.told),
            "told_by_others": [{"who": who, "words": words} for who, words in found.told_anew],
            "looked_at": list(found.looked_at), "ready": steps_as_json(found.ready, ()),
        }  # fmt: skip
    else:
        value["left"] = _standing(found.left)
    if found.answer == "yes":
        value |= {
            "steps": steps_as_json(found.steps, found.because), "cost_s": found.order.cost_s,
            "proved_best": found.order.proved_best, "sheet": str(written) if written is not None else None,
        }  # fmt: skip
    return value


def _done(done: Done) -> dict[str, Any]:
    return {"phase": done.phase, "first": done.first, "last": done.last, "whole": done.is_whole}


def _standing(rows: Sequence[Standing]) -> list[dict[str, Any]]:
    return [{"about": row.about, "words": list(row.words)} for row in rows]


def steps_as_json(steps: Sequence[Step], because: Sequence[Because]) -> list[dict[str, Any]]:
    """Steps line by line."""
    reasons = [one.words() for one in because] or [""] * len(steps)
    return [
        {"line": number, "who": step.role, "where": step.place, "does": step.key, "phase": step.phase, "because": reason,
         "allowance_s": step.duration_s, "caution": step.caution,
         "words": [{"from": u.speaker, "to": u.hearer, "words": u.words} for u in step.said]}
        for number, (step, reason) in enumerate(zip(steps, reasons, strict=True), start=1)
    ]  # fmt: skip
