"""The answer of ``plan`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from headstock.capability.holding import HoldingResult
from headstock.usecases.found_cautions import found_cautions
from headstock.usecases.holding_words import holding_words
from headstock.usecases.joint_opening import opening_words
from headstock.usecases.method_due import method_due
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_lines import stop_lines
from headstock.usecases.told_afterwards import told_afterwards


def plan_as_json(answer: JobPlan, written: tuple[Path, ...]) -> dict[str, Any]:
    """The answer as plain values."""
    order, domain = answer.order, answer.domain
    value: dict[str, Any] = {
        "answer": answer.answer, "job": answer.papers.job.title, "reasons": list(answer.reasons),
        "as_found": list(answer.as_found),
        "local_rules": {"name": answer.papers.rules.name, "edition": answer.papers.rules.edition},
        "holding": [
            {"portion": h.portion, "holds": h.holds, "brakes": _brakes(answer, h), "needed_n": h.needed_force_n,
             "reasons": [holding_words(reason) for reason in h.reasons]}
            for h in answer.assembled.holding
        ],
    }  # fmt: skip
    if answer.answer == "yes" and order is not None and domain is not None:
        value["steps"] = [
            {"line": number, "who": step.role, "where": step.place, "does": step.key, "phase": step.phase,
             "because": because.words(), "allowance_s": step.duration_s, "caution": step.caution,
             "words": [{"from": u.speaker, "to": u.hearer, "words": u.words} for u in step.said]}
            for number, (step, because) in enumerate(zip(order.steps, answer.because, strict=True), start=1)
        ]  # fmt: skip
        task = answer.assembled.task
        value["opening"] = opening_words(task) if task is not None else ""
        due = method_due(answer.papers, task)
        value["only_if"], value["tests_due"] = due.only_if(), [asdict(line) for line in due.lines]
        value["tests_due_words"] = list(due.words())
        value["found_cautions"] = list(found_cautions(task)) if task is not None else []
        value["told_afterwards"] = [asdict(line) for line in told_afterwards(task)] if task is not None else []
        value["stops"] = _stops(answer)
        value["cost_s"], value["bound_s"] = order.cost_s, order.bound_s
        value["proved_best"] = order.proved_best
        value["cards"], value["sheet"] = (str(path) for path in written) if written else (None, None)
    return value


def _stops(answer: JobPlan) -> list[dict[str, Any]]:
    """Where the work may be left, at the end of each phase."""
    task, domain, order = answer.assembled.task, answer.domain, answer.order
    if task is None or domain is None or order is None:
        return []
    phases = [step.phase for step in order.steps]
    ends = [line for line, phase in enumerate(phases, start=1) if line == len(phases) or phases[line] not in (phase, "")]
    return [asdict(stop) | {"words": stop.words()} for stop in stop_lines(task, domain, order.steps, ends)]


def _brakes(answer: JobPlan, result: HoldingResult) -> list[str]:
    """Brakes that the order uses, or those that would hold where there is no order."""
    task = answer.assembled.task
    return list(task.holds[result.portion].brakes if task is not None else result.smallest_set)
