"""Blocks of the front from runs of steps of one phase, and the lines of the back."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from headstock.procedures.explain import Because
from headstock.procedures.task import AttachTask
from headstock.procedures.work import PHASES
from headstock.reasoning.step import Step
from headstock.sheets.content import Block, DetailLine, Words
from headstock.sheets.letters import letter_of
from headstock.usecases.stop_lines import Leave, StopLine

TEXT_LENGTHS = (400, 350, 310, 280, 255, 230, 210, 190, 170, 150, 135, 120, 110, 105, 100, 95, 90)
"""Letters a block's text may have; the longest with which the front still fits is taken."""
LETTERS_A_LINE = 60
TITLE_MM, LINE_MM, GAP_MM = 5.9, 3.56, 0.4
"""Heights on the front at about 9.7 pt [mm]: a text gives way to the back before it is set smaller."""
TELLS = "tell the"
SPOKEN_PHASES = ("approach", "join", "make safe", "come out", "leave")


def phases_of(steps: Sequence[Step]) -> tuple[str, ...]:
    """The phase of each step; one without a phase of its own goes with the next that has one, at the end with the last."""
    own = _own_phases(steps)
    phases: list[str] = []
    following = next((phase for phase in reversed(own) if phase), "")
    for phase in reversed(own):
        following = phase or following
        phases.append(following)
    return tuple(reversed(phases))


def _own_phases(steps: Sequence[Step]) -> list[str]:
    """The phases that the steps name; what is told late, after the work of its phase, goes with the work about it."""
    phases: list[str] = []
    here = 0
    for step in steps:
        rank = PHASES.index(step.phase) if step.phase in PHASES else here
        is_late = bool(step.tells) and step.key.startswith(TELLS) and rank < here
        phases.append(PHASES[here] if is_late else step.phase)
        here = here if is_late else rank
    return phases


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
        if (merged and len(numbers) <= 2 and phase in ("come out", "leave", "hold", "make safe", "ends", "part")) or (
            merged and merged[-1][0] == phase
        ):
            merged[-1][1].extend(numbers)
        else:
            merged.append((phase, numbers))
    return tuple((phase, tuple(numbers)) for phase, numbers in merged)


ALONE_TITLES = {"agree": "Go through the job", "come out": "Come out, protection off"}
"""Where nobody else is there to agree with, or to give it back to."""


def title_of(phase: str, task: AttachTask) -> str:
    """The title of a block."""
    if phase in ALONE_TITLES and task.is_alone and len(task.crew) == 1:
        return ALONE_TITLES[phase]
    waits = task.length_words(task.rules.approach.waits_m.value)
    stops = {1: "once", 2: "twice"}.get(len(task.stops_m), f"{len(task.stops_m)} times")
    if task.parts:
        away = f"Part, draw away {waits}" if task.couple is None else f"Ease up, or draw away {waits}"
        secure = "Secure" if task.rescued is not None and task.rescued.scotches is not None else "Hold"
        return {
            "agree": "Agree the job", "hold": f"{secure} {task.standing}, prove it", "make safe": "Pipe to nothing, make safe",
            "between": "Between", "come out": "Come out, give it back", "part": away,
            "ends": "Ends, last look" if task.adapter is None else "Adapter off, ends, last look",
            "test": f"Charge {task.moving}, test",
            "leave": "Hold by the tested brake, other holds off",
        }[phase]  # fmt: skip
    rescued = {"hold": f"Secure {task.standing}, prove both holds", "leave": "Hold by the tested brake; springs, scotches off"}
    if task.rescue is not None and phase in rescued:
        return rescued[phase]
    changes = "Change ends, charge, test" if task.controls != task.driven_from else "Charge, test"
    return {
        "agree": "Agree the job", "hold": "Hold both portions, prove it", "try again": f"Draw clear {waits}, look",
        "dress": f"Dress both ends, {task.moving} still {waits} off", "approach": f"Come up, stop {stops}",
        "join": "Join, then prove the couple", "make safe": f"Make {task.moving} safe", "between": "Between",
        "come out": "Come out, give it back", "ends": "Outer ends, last look", "test": changes,
        "leave": "Hold by the tested brake, other holds off",
    }[phase]  # fmt: skip


def block_ends(steps: Sequence[Step]) -> tuple[int, ...]:
    """The last line of each block."""
    return tuple(lines[-1] + 1 for _, lines in runs_of(steps))


def where_to_stop(steps: Sequence[Step], stops: Sequence[StopLine]) -> str:
    """After which blocks the work may be left, in one line for the front."""
    found: dict[Leave, list[str]] = {"yes": [], "when watched": [], "no": []}
    by_line = {stop.line: stop for stop in stops}
    for number, line in enumerate(block_ends(steps), start=1):
        if line in by_line:
            found[by_line[line].may].append(str(number))
    said = [f"after block {listed(found['yes'])}"] if found["yes"] else []
    said += [f"once watched as it stands after block {listed(found['when watched'])}"] if found["when watched"] else []
    if not said:
        return "Not to be left half done after any block."
    return f"Left half done only {', '.join(said)}: made safe as the back says."


def listed(numbers: Sequence[str]) -> str:
    """Numbers in a row: "2, 3 and 7"."""
    return " and ".join(filter(None, [", ".join(numbers[:-1]), numbers[-1]]))


def blocks_of(
    task: AttachTask, steps: Sequence[Step], room_mm: float, lengths: Sequence[int] = TEXT_LENGTHS
) -> tuple[Block, ...]:
    """The blocks of the front, their texts as long as the room allows; words and cautions are never shortened."""
    blocks: tuple[Block, ...] = ()
    runs = runs_of(steps)
    cautions = _cautions([[steps[index] for index in lines] for _, lines in runs])
    for longest in lengths:
        blocks = tuple(
            _block(number, phase, [steps[index] for index in lines], lines, task, longest, cautions[number - 1])
            for number, (phase, lines) in enumerate(runs, start=1)
        )
        if sum(height_mm(block) for block in blocks) <= room_mm:
            break
    return blocks


def _cautions(blocks: Sequence[Sequence[Step]]) -> list[str]:
    """The cautions of each block: its first one, and every other that no block before it has shown."""
    shown: set[str] = set()
    found = []
    for steps in blocks:
        own = list(dict.fromkeys(step.caution for step in steps if step.caution))
        found.append(" ".join(text for place, text in enumerate(own) if place == 0 or text not in shown))
        shown.update(own)
    return found


def height_mm(block: Block) -> float:
    """About how high a block stands on the front."""
    said = [f"S “{words.text}”" for words in block.words if not words.said_back] + ([block.caution] if block.caution else [])
    lines = sum(ceil(len(text) / LETTERS_A_LINE) for text in (block.text, *said))
    return TITLE_MM + LINE_MM * lines + GAP_MM * len(said)


def _block(number: int, phase: str, steps: list[Step], lines: Sequence[int], task: AttachTask, longest: int,
           caution: str) -> Block:  # fmt: skip
    acts = tuple(dict.fromkeys(letter_of(step.role) for step in steps))
    hears = tuple(dict.fromkeys(letter_of(role) for step in steps for role in step.hears if role in task.crew))
    said = [utterance for step in steps for utterance in step.said if utterance.hearer in task.crew]
    arrows = tuple(dict.fromkeys((letter_of(utterance.speaker), letter_of(utterance.hearer)) for utterance in said))
    return Block(
        number=number,
        title=title_of(phase, task),
        text=_text(steps, lines, longest),
        acts=acts,
        hears=tuple(letter for letter in hears if letter not in acts),
        arrows=arrows,
        words=_words(phase, steps, task),
        caution=caution,
    )


def _text(steps: list[Step], lines: Sequence[int], longest: int) -> str:
    """Short sentences of the steps, each once, as many as a block holds; the rest is on the back."""
    briefs = list(dict.fromkeys(step.brief for step in steps if step.brief))
    kept: list[str] = []
    while briefs and len(" ".join([*kept, briefs[0]])) <= longest:
        kept.append(briefs.pop(0))
    where = f"lines {lines[0] + 1} to {lines[-1] + 1}" if len(lines) > 1 else f"line {lines[0] + 1}"
    return " ".join([*kept, f"See back, {where}."] if briefs else kept)


def _words(phase: str, steps: list[Step], task: AttachTask) -> tuple[Words, ...]:
    """Words that must be said as written (calls, assurance, giving back), each followed by who says them back."""
    if phase not in SPOKEN_PHASES:
        return ()
    told = (u for step in steps for u in step.said if not step.key.startswith(TELLS))
    said = list(dict.fromkeys(u for u in told if u.hearer in task.crew))[:3]
    words = []
    for utterance in said:
        words.append(Words(letter_of(utterance.speaker), utterance.words))
        if utterance.said_back:
            words.append(Words(letter_of(utterance.hearer), "the same", said_back=True))
    return tuple(words)


def detail_of(
    task: AttachTask, steps: Sequence[Step], because: Sequence[Because], stops: Sequence[StopLine] = ()
) -> tuple[DetailLine, ...]:
    """Every elementary step with its reason; messages in a row from one to another stand on one line."""
    left = {stop.line: stop.words() for stop in stops}
    block_of = {line: number for number, (_, lines) in enumerate(runs_of(steps), start=1) for line in lines}
    warned: set[tuple[int, str]] = set()
    rows = []
    for lines in _bundles(steps, block_of):
        first = steps[lines[0]]
        caution = "" if (block_of[lines[0]], first.caution) in warned else first.caution
        warned.add((block_of[lines[0]], first.caution))
        rows.append(
            DetailLine(
                number=lines[0] + 1, block=block_of[lines[0]], letter=letter_of(first.role),
                text=_bundle_text([steps[line] for line in lines]), because=_why([because[line] for line in lines]),
                words=_said(first, task), allowance_s=sum(steps[line].duration_s for line in lines), caution=caution,
                last_number=lines[-1] + 1 if len(lines) > 1 else 0, stop=left.get(lines[-1] + 1, ""),
            )
        )  # fmt: skip
    return tuple(rows)


def _is_message(step: Step) -> bool:
    return bool(step.tells) and step.place is None and step.key.startswith(TELLS)


def _bundles(steps: Sequence[Step], block_of: dict[int, int]) -> list[list[int]]:
    bundles: list[list[int]] = []
    for line, step in enumerate(steps):
        before = steps[bundles[-1][0]] if bundles else None
        if (before is not None and _is_message(step) and _is_message(before) and block_of[line] == block_of[bundles[-1][0]]
                and (step.role, step.hearer) == (before.role, before.hearer)):  # fmt: skip
            bundles[-1].append(line)
        else:
            bundles.append([line])
    return bundles


def _bundle_text(steps: list[Step]) -> str:
    if steps[0].phase == "test" and steps[0].key.startswith("test, "):
        # A stage with its handle, its wait and its limit.
        return f"{_sentence(steps[0].key.partition(': ')[0])[:-1]}: {steps[0].brief}"
    if len(steps) == 1:
        return _sentence(steps[0].key)
    told = "; ".join(step.key.partition(": ")[2] for step in steps)
    return _sentence(f"tell the {steps[0].hearer}: {told}")


def _why(reasons: list[Because]) -> str:
    """Lines that need this, and what they need of the first."""
    first = reasons[0]
    others = sorted({reason.line for reason in reasons[1:] if reason.line} - {first.line or 0})
    also = "also line" if len(others) == 1 else "also lines"
    return first.words() + (f"; {also} {', '.join(str(line) for line in others)}" if others else "")


def _said(step: Step, task: AttachTask) -> tuple[Words, ...]:
    """Words of a step, each followed by who says them back."""
    if step.key.startswith(TELLS):
        return ()
    heard = [u for u in step.said if u.hearer in task.crew or u.hearer == "yard control"]
    words = list(dict.fromkeys(Words(letter_of(u.speaker), u.words) for u in heard))
    back = [Words(letter_of(u.hearer), "the same", said_back=True) for u in heard if u.said_back and u.hearer in task.crew]
    return tuple(words + list(dict.fromkeys(back)))


def _sentence(key: str) -> str:
    return key[0].upper() + key[1:] + "."
