"""Blocks of the front from runs of steps of one phase, and the lines of the back."""

from __future__ import annotations

from collections.abc import Sequence

from headstock.base.quantities import spoken_length
from headstock.procedures.explain import Because
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.sheets.content import Block, DetailLine, Words
from headstock.sheets.letters import letter_of

LONGEST_TEXT = 210
SPOKEN_PHASES = ("approach", "join", "make safe", "come out")


def phases_of(steps: Sequence[Step]) -> tuple[str, ...]:
    """The phase of each step; one without a phase of its own goes with the next that has one."""
    phases: list[str] = []
    following = steps[-1].phase
    for step in reversed(steps):
        following = step.phase or following
        phases.append(following)
    return tuple(reversed(phases))


def runs_of(steps: Sequence[Step]) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Runs of one phase; a run of one or two lines joins its neighbour, so that a sheet has about ten blocks."""
    runs: list[tuple[str, list[int]]] = []
    for number, phase in enumerate(phases_of(steps)):
        if runs and runs[-1][0] == phase:
            runs[-1][1].append(number)
        else:
            runs.append((phase, [number]))
    merged: list[tuple[str, list[int]]] = []
    for phase, numbers in runs:
        if merged and len(numbers) <= 2 and phase in ("come out", "leave", "hold", "make safe"):
            merged[-1][1].extend(numbers)
        elif merged and merged[-1][0] == phase:
            merged[-1][1].extend(numbers)
        else:
            merged.append((phase, numbers))
    return tuple((phase, tuple(numbers)) for phase, numbers in merged)


def title_of(phase: str, task: AttachTask) -> str:
    """The title of a block."""
    waits = spoken_length(task.rules.approach.waits_m.value, task.rules.length_unit)
    stops = {1: "once", 2: "twice"}.get(len(task.stops_m), f"{len(task.stops_m)} times")
    changes = "Change ends, charge, test" if task.controls != task.driven_from else "Charge, test"
    return {
        "agree": "Agree the job", "hold": "Hold both portions, prove it",
        "dress": f"Dress both ends, {task.moving} still {waits} off", "approach": f"Come up, stop {stops}",
        "join": "Join, then prove the couple", "make safe": f"Make {task.moving} safe", "between": "Between",
        "come out": "Come out, give it back", "test": changes, "leave": "Holds off, ends, last look",
    }[phase]  # fmt: skip


def blocks_of(task: AttachTask, steps: Sequence[Step]) -> tuple[Block, ...]:
    """The blocks of the front."""
    return tuple(
        _block(number, phase, [steps[index] for index in lines], lines, task)
        for number, (phase, lines) in enumerate(runs_of(steps), start=1)
    )


def _block(number: int, phase: str, steps: list[Step], lines: Sequence[int], task: AttachTask) -> Block:
    acts = tuple(dict.fromkeys(letter_of(step.role) for step in steps))
    hears = tuple(dict.fromkeys(letter_of(role) for step in steps for role in step.hears if role in task.crew))
    arrows = tuple(dict.fromkeys(
        (letter_of(u.speaker), letter_of(u.hearer)) for step in steps for u in step.said if u.hearer in task.crew
    ))  # fmt: skip
    cautions = [step.caution for step in steps if step.caution]
    return Block(
        number=number, title=title_of(phase, task), text=_text(steps, lines), acts=acts,
        hears=tuple(letter for letter in hears if letter not in acts), arrows=arrows,
        words=_words(phase, steps, task), caution=cautions[0] if cautions else "",
    )  # fmt: skip


def _text(steps: list[Step], lines: Sequence[int]) -> str:
    """Short sentences of the steps, each once, as many as a block holds; the rest is on the back."""
    briefs = list(dict.fromkeys(step.brief for step in steps if step.brief))
    kept: list[str] = []
    while briefs and len(" ".join([*kept, briefs[0]])) <= LONGEST_TEXT:
        kept.append(briefs.pop(0))
    tail = f" See back, lines {lines[0] + 1} to {lines[-1] + 1}." if briefs else ""
    return " ".join(kept) + tail


def _words(phase: str, steps: list[Step], task: AttachTask) -> tuple[Words, ...]:
    """Words that must be said as written: calls, assurance, giving back."""
    if phase not in SPOKEN_PHASES:
        return ()
    said = [u for step in steps for u in step.said if not step.key.startswith("tell the")]
    words = [Words(letter_of(u.speaker), u.words) for u in said if u.hearer in task.crew]
    return tuple(dict.fromkeys(words))[:3]


def detail_of(task: AttachTask, steps: Sequence[Step], because: Sequence[Because]) -> tuple[DetailLine, ...]:
    """Every elementary step with its reason."""
    block_of = {line: number for number, (_, lines) in enumerate(runs_of(steps), start=1) for line in lines}
    return tuple(
        DetailLine(
            number=line + 1, block=block_of[line], letter=letter_of(step.role), text=_sentence(step.key),
            because=because[line].words(), words=_said(step, task), allowance_s=step.duration_s,
            caution=step.caution, second_look=because[line].line is None,
        )
        for line, step in enumerate(steps)
    )  # fmt: skip


def _said(step: Step, task: AttachTask) -> tuple[Words, ...]:
    if step.key.startswith("tell the"):
        return ()
    said = [Words(letter_of(u.speaker), u.words) for u in step.said if u.hearer in task.crew or u.hearer == "yard control"]
    return tuple(dict.fromkeys(said))


def _sentence(key: str) -> str:
    return key[0].upper() + key[1:] + "."
