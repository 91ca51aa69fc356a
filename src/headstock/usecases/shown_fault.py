"""A fault beside the line that it stands in, cut at the wrong word."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.base.errors import Fault


@dataclass(frozen=True, slots=True)
class ShownFault:
    """The line in three parts, the middle one wrong; empty where the fault stands in no line."""

    fault: Fault
    before: str = ""
    wrong: str = ""
    after: str = ""


def shown_faults(text: str, faults: tuple[Fault, ...]) -> tuple[ShownFault, ...]:
    """Each fault with its line of the text."""
    lines = text.splitlines()
    return tuple(_shown(fault, lines) for fault in faults)


def _shown(fault: Fault, lines: list[str]) -> ShownFault:
    if fault.line is None or not 0 < fault.line <= len(lines):
        return ShownFault(fault)
    line = lines[fault.line - 1].strip()
    if not line:  # such as one that lacks what was to follow
        return ShownFault(fault)
    wrong = _wrong_word(fault, line)
    before, _, after = line.partition(wrong)
    return ShownFault(fault, before, wrong, after)


def _wrong_word(fault: Fault, line: str) -> str:
    """What was found, as it stands there; else the field's name or value; else the whole line."""
    name = fault.path.rpartition(".")[2]
    value = line.partition(":")[2].strip()
    for word in ((fault.found or "").strip("'\""), value if line.startswith(f"{name}:") else "", name, value):
        if word and word in line:
            return word
    return line
