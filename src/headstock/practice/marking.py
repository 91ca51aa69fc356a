"""Two marks: safe, by the rules that hold at every moment; and as the instruction says, line by line. No score, no percentage."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.practice.instruction_ties import lines_done
from headstock.practice.sitting import Note, Sitting


@dataclass(frozen=True, slots=True)
class Mark:
    """``unsafe``: each unsafe act; ``left_out``, ``besides``, ``before_time``: how it departs from the instruction, in words.

    ``hidden``: what was hidden and whether somebody found it, in words; ``false_finds``: what was called wrong and was right.
    """

    is_safe: bool
    is_as_instructed: bool
    is_finished: bool
    unsafe: tuple[Note, ...]
    left_out: tuple[str, ...]
    besides: tuple[str, ...]
    before_time: tuple[str, ...]
    missing_at_the_end: tuple[str, ...]
    hidden: tuple[tuple[str, bool], ...]
    false_finds: tuple[str, ...]


def mark_of(sitting: Sitting) -> Mark:
    """The marks of a sitting as it stands; of one that goes on, what is left out is only not done yet."""
    exercise = sitting.exercise
    order = exercise.order
    lines, besides = lines_done(order, [step for _, step in sitting.done])
    left = [_line(number, order[number].key) for number in range(len(order)) if number not in set(lines)]
    early = tuple(_turned_about(sitting, lines))
    unsafe, missing = sitting.unsafe, tuple(note.text for note in sitting.notes if note.kind == "end")
    hidden = _hidden(sitting)
    declared = sitting.is_declared_done
    as_instructed = declared and not (left or besides or early)
    return Mark(
        not unsafe and not (declared and missing), as_instructed, declared, unsafe, tuple(left),
        tuple(step.key for step in besides), early, missing, hidden,
        tuple(note.text for note in sitting.notes if note.kind == "false find"),
    )  # fmt: skip


def _turned_about(sitting: Sitting, lines: tuple[int, ...]) -> list[str]:
    """Lines done before one that the instruction has earlier and that they rest on."""
    order = sitting.exercise.order
    earlier, when = sitting.exercise.earlier, {line: place for place, line in enumerate(lines)}
    found = []
    for line in lines:
        late = [one for one in sorted(earlier[line]) if when.get(one, -1) > when[line]]
        if late:
            found.append(f"{_line(line, order[line].key)}: before {_line(late[0], order[late[0]].key)}")
    return found


def _hidden(sitting: Sitting) -> tuple[tuple[str, bool], ...]:
    variables = sitting.exercise.domain.variables
    hidden = dict([*((one.key, one.value) for one in sitting.exercise.hidden), *sitting.planted])
    named = {note.about for note in sitting.notes if note.kind == "found"}
    in_the_air = ((f"{fault.kind} at {fault.place}", fault.place in named) for fault in sitting.exercise.faults)
    return (*((variables[key].say(value), key in named) for key, value in hidden.items()), *in_the_air)


def _line(number: int, key: str) -> str:
    return f"line {number + 1}, {key}"
