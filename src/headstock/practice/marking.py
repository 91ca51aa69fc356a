"""Two marks: safe, by the rules that hold at every moment; and as the instruction says, line by line. No score, no percentage.

What people did stands apart from what colleagues played by the computer did: those go wrong because the exercise says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from headstock.practice.instruction_ties import lines_done
from headstock.practice.sitting import Note, Sitting
from headstock.procedures.scene_variables import ROAD
from headstock.reasoning.step import Step


@dataclass(frozen=True, slots=True)
class Share:
    """What some of those at work did, in words: ``unsafe`` acts; how the instruction was departed from; what was found.

    ``slips``: lines at which the exercise has it go wrong, as far as they were come to (the computer's alone).
    """

    unsafe: tuple[Note, ...] = ()
    left_out: tuple[str, ...] = ()
    besides: tuple[str, ...] = ()
    before_time: tuple[str, ...] = ()
    slips: tuple[str, ...] = ()
    found: tuple[str, ...] = ()

    @property
    def is_as_written(self) -> bool:
        """Whether line by line was done as written."""
        return not (self.left_out or self.besides or self.before_time or self.slips)


@dataclass(frozen=True, slots=True)
class Mark:
    """The marks of the people. ``unsafe``: each unsafe act; ``left_out``, ``besides``, ``before_time``: how they depart from the
    instruction, in words. Where nobody has a role, whoever acted counts.

    ``hidden``: what was hidden and whether they found it, in words; ``false_finds``: what was called wrong and was right;
    ``colleagues``: the same of those whom the computer played, and what the trainer's own planting broke.
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
    colleagues: Share = Share()


Whose = Callable[[bool], bool]


def mark_of(sitting: Sitting) -> Mark:
    """The marks of a sitting as it stands; of one that goes on, what is left out is only not done yet."""
    nobody = not any(sitting.people.values())
    own = _share(sitting, lambda by_person: by_person or nobody)
    others = _share(sitting, lambda by_person: not (by_person or nobody))
    missing = tuple(note.text for note in sitting.notes if note.kind == "end")
    declared = sitting.is_declared_done
    return Mark(
        not own.unsafe and not (declared and missing), declared and own.is_as_written, declared, own.unsafe, own.left_out,
        own.besides, own.before_time, missing, tuple((what, what in own.found) for _, what in _hidden(sitting)),
        tuple(note.text for note in sitting.notes if note.kind == "false find"), others,
    )  # fmt: skip


def _share(sitting: Sitting, whose: Whose) -> Share:
    """What those did of whom ``whose`` says so, asked with whether a person has the role."""
    order, notes = sitting.exercise.order, [note for note in sitting.notes if whose(note.by_person)]
    lines, _ = lines_done(order, [step for _, step in sitting.done])
    left = (line for line in range(len(order)) if line not in set(lines) and whose(sitting.is_played(order[line].role)))
    named = {note.about for note in notes if note.kind == "found"}
    return Share(
        tuple(note for note in notes if note.kind in ("unsafe", "misread")),
        tuple(_line(line, order[line].key) for line in left), *_done_otherwise(sitting, whose),
        tuple(_slips(sitting, lines)) if not whose(True) else (),
        tuple(what for key, what in _hidden(sitting) if key in named),
    )  # fmt: skip


def _done_otherwise(sitting: Sitting, whose: Whose) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was done besides the instruction; lines done before one that it has earlier and that they rest on."""
    order, earlier = sitting.exercise.order, sitting.exercise.earlier
    lines, _ = lines_done(order, [step for _, step in sitting.done])
    when, besides, early = {line: place for place, line in enumerate(lines)}, [], []
    left = iter(lines)
    next_line = next(left, None)
    for (_, step), by_person in zip(sitting.done, sitting.done_by_people, strict=True):
        if next_line is None or order[next_line].ident != step.ident:
            besides += [step.key] if whose(by_person) and not _is_asked_again(sitting, step) else []
            continue
        line, next_line = next_line, next(left, None)
        late = [one for one in sorted(earlier[line]) if when.get(one, -1) > when[line]]
        if late and whose(by_person):
            early.append(f"{_line(line, order[line].key)}: before {_line(late[0], order[late[0]].key)}")
    return tuple(besides), tuple(early)


def _is_asked_again(sitting: Sitting, step: Step) -> bool:
    """The road, after another movement was let on it."""
    return (ROAD, "given") in step.effects and any(one.stage == "passed" for one in sitting.movements.values())


def _slips(sitting: Sitting, lines: tuple[int, ...]) -> Iterator[str]:
    """Looks that were none; lines that a colleague has passed over."""
    yield from (note.text for note in sitting.notes if note.kind == "slip")
    order = sitting.exercise.order
    for lapse in sitting.exercise.lapses:
        step, line = order[lapse.line - 1], lapse.line - 1
        went_on = any(later > line and order[later].role == step.role for later in lines)
        if line not in lines and went_on and not sitting.is_played(step.role):
            yield f"{step.key}: {lapse.kind}"


def _hidden(sitting: Sitting) -> list[tuple[str, str]]:
    """What was hidden, by its key, in words."""
    variables = sitting.exercise.domain.variables
    hidden = dict([*((one.key, one.value) for one in sitting.exercise.hidden), *sitting.planted])
    in_the_air = [(fault.place, f"{fault.kind} at {fault.place}") for fault in sitting.exercise.faults]
    return [(key, variables[key].say(value)) for key, value in hidden.items()] + in_the_air


def _line(number: int, key: str) -> str:
    return f"line {number + 1}, {key}"
