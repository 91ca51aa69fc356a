"""A railway's own habit as ranks for the second pass: what comes first where the order is free."""

from __future__ import annotations

from typing import Any

from headstock.procedures.task import AttachTask


def customary_ranks(task: AttachTask) -> dict[str, int]:
    """Rank of each device's variable by the local rules' customary order; empty where they have none."""
    order = task.rules.customary_order
    habits = order.value if order is not None else ()
    moving = {unit.name for unit in task.moving_units}
    ranks = {}
    for at, spec in task.train.devices():
        named = {_thing(spec), f"{'moving' if at.unit in moving else 'standing'} portion"}
        rank = next((rank for rank, habit in enumerate(habits) if habit in named), None)
        if rank is not None:
            ranks[at.key()] = rank
    return ranks


def _thing(spec: Any) -> str:
    """A device in the words of a customary order."""
    words = {"hose": "hoses", "end cock": "cocks"}
    return f"{spec.pipe} {words[spec.kind]}" if spec.kind in words else f"{spec.kind}s"
