"""Which lines of an instruction must come before which: two may change places when neither touches what the other needs."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.reasoning.constraint import place_key
from headstock.reasoning.step import Step


def earlier_lines(order: Sequence[Step]) -> tuple[frozenset[int], ...]:
    """For each line (0 is the first) the earlier ones that it must not come before."""
    touched = [_touched(step) for step in order]
    asked = [_asked(step) for step in order]
    found = []
    for line in range(len(order)):
        before = (other for other in range(line)
                  if touched[other] & (asked[line] | touched[line]) or asked[other] & touched[line])  # fmt: skip
        found.append(frozenset(before))
    return tuple(found)


def _touched(step: Step) -> set[str]:
    """What a step changes: things, what somebody knows, where somebody stands if only a step leads there."""
    known = {f"{step.role} knows {key}" for key, _ in (*step.shows, *step.effects)}
    heard = {f"{step.hearer} knows {key}" for key, _ in step.tells}
    moved = {place_key(step.role)} if step.goes_to is not None else set()
    return {*step.touched(), *known, *heard, *moved}


def _asked(step: Step) -> set[str]:
    """What a step rests on."""
    known = {f"{step.role} knows {key}" for key, _ in (*step.knows, *step.tells)}
    standing = {place_key(step.role)} if step.place is not None else set()
    return {key for key, _ in (*step.needs, *step.shows)} | known | standing


def lines_done(order: Sequence[Step], done: Sequence[Step]) -> tuple[tuple[int, ...], tuple[Step, ...]]:
    """The lines of an instruction that were done, in the order in which they were, and what was done besides."""
    waiting: dict[tuple[str, str], list[int]] = {}
    for line, step in enumerate(order):
        waiting.setdefault(step.ident, []).append(line)
    lines, besides = [], []
    for step in done:
        if waiting.get(step.ident):
            lines.append(waiting[step.ident].pop(0))
        else:
            besides.append(step)
    return tuple(lines), tuple(besides)
