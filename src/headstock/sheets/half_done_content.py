"""What stands on the sheet of a job that is broken off, or handed over to a relief."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from headstock.reasoning.step import Step
from headstock.sheets.letters import letter_of
from headstock.sheets.pair_words import WordBlock
from headstock.sheets.setting import plain_name
from headstock.usecases.half_done import Done, Standing
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.relieve_job import JobRelieved
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.stop_job import JobStopped

OFF = " going off"
KEPT = "This sheet is no permission to move or to go between. What it says of a thing holds only while nobody has touched it."


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line to be done and ticked: letter of the role, what, where, words, what can hurt."""

    number: int
    letter: str
    text: str
    where: str
    words: str
    caution: str


@dataclass(frozen=True, slots=True)
class HalfDoneContent:
    """The whole sheet: what to do on the left, how it stands on the right; ``rest`` is the remaining order, on the back.

    ``handing``: so many lines of the rest are the handing over itself, up to taking over.
    """

    title: str
    headline: str
    invented: bool
    place_line: str
    rules_line: str
    people: str
    cautions: tuple[str, ...]
    lines_heading: str
    lines: tuple[SheetLine, ...]
    asks: tuple[WordBlock, ...]
    stands: tuple[WordBlock, ...]
    signatures: tuple[str, ...]
    rest_heading: str
    rest: tuple[SheetLine, ...]
    handing: int
    footer: str


def half_done_name(found: JobStopped | JobRelieved) -> str:
    """File name: the job's title, what happens to it, after which line."""
    what = f"relief-of-{found.role}" if isinstance(found, JobRelieved) else "make-safe"
    return f"{plain_name(found.plan.papers.job.title) or 'job'}-{what}-after-{found.line}.pdf"


def half_done_content(found: JobStopped | JobRelieved) -> HalfDoneContent:
    """Everything on the sheet."""
    return _relief(found) if isinstance(found, JobRelieved) else _stop(found)


def _stop(found: JobStopped) -> HalfDoneContent:
    stands = _standing(found.left)
    return HalfDoneContent(
        title=f"{found.plan.papers.job.title}: stop, make safe",
        headline=f"Broken off after line {found.line} of the order of work{_last_line(found.plan, found.line)}",
        **_common(found.plan, found.notes), people=_people(found.plan, {}),
        lines_heading="Do this, in this order", lines=_lines(found.steps, found),
        asks=(WordBlock("Done of the job", _done(found.done), False),
              WordBlock("Before going on", ("Agree the job anew, ask for the road anew, boards off by whoever put them on.",
                                            "Touched since? What was touched is looked at again."), True)),
        stands=(WordBlock("How it is left", (), False), *stands),
        signatures=("Person in charge", "Time", "Yard control told: who, when", "Boards by"), rest_heading="", rest=(), handing=0,
    )  # fmt: skip


def _relief(found: JobRelieved) -> HalfDoneContent:
    stands = _standing(found.stands)
    told = (*found.told, *(f"From the {who}: {words}" for who, words in found.told_anew))
    ask = "Anything touched since you last looked? If so: looked at again, and a test is void."
    return HalfDoneContent(
        title=f"{found.plan.papers.job.title}: {found.role} relieved",
        headline=f"{found.off} hands over to {found.on}, after line {found.line}{_last_line(found.plan, found.line)}",
        **_common(found.plan, found.notes), people=_people(found.plan, {found.role: f"{found.on} for {found.off}"}),
        lines_heading="Before handing over", lines=_lines(found.ready, found),
        asks=(
            WordBlock("Done of the job", _done(found.done), False),
            WordBlock("Told by word, each said back", tuple(_sentence(words) for words in told) or ("Nothing.",), True),
            WordBlock("Looked at by the relief himself", tuple(_sentence(w) for w in found.looked_at) or ("Nothing.",), True),
            WordBlock("Asked by the relief", (ask,), True),
            WordBlock("Next", _next(found), False),
        ),
        stands=(WordBlock("How it stands", (), False), *stands),
        signatures=("Goes off", "Relief", "Time", "Touched since? yes / no"),
        rest_heading="Handing over, and the rest of the order of work", rest=_lines(found.steps, found),
        handing=min(len(found.steps), _taken(found) + 1),
    )  # fmt: skip


def _standing(rows: Sequence[Standing]) -> tuple[WordBlock, ...]:
    """What stands how; things at an end in one run of words."""
    return tuple(WordBlock(row.about, (_sentence(", ".join(row.words)),) if row.about.startswith("At ") else row.words)
                 for row in rows)  # fmt: skip


def _taken(found: JobRelieved) -> int:
    """The step by which the relief takes over."""
    steps = enumerate(found.steps)
    return next((number for number, step in steps if step.effects and step.key.startswith("take over as")), 0)


def _next(found: JobRelieved) -> tuple[str, ...]:
    """The first things done after the relief has taken over."""
    after = [step for step in found.steps[_taken(found) + 1 :] if not step.tells or step.effects]
    return tuple(f"{step.role}: {step.key}" for step in after[:2]) or ("nothing more to do",)


def _common(plan: JobPlan, notes: Sequence[str]) -> dict[str, Any]:
    rules, place, job = plan.papers.rules, plan.papers.place, plan.papers.job
    return {
        "invented": job.invented or rules.invented or place.invented,
        "place_line": f"{place.name} · {place.slope_words()}",
        "rules_line": f"Local rules: {rules.name}, edition {rules.edition}",
        "cautions": (STANDING_CAUTION, KEPT, *rules.cautions.value, *notes),
        "footer": f"{rules.name}, edition {rules.edition}",
    }


def _people(plan: JobPlan, instead: dict[str, str]) -> str:
    return "   ".join(f"{letter_of(role)} {role} {instead.get(role, name)}" for role, name in plan.papers.job.crew.items())


def _last_line(plan: JobPlan, line: int) -> str:
    steps = plan.order.steps if plan.order is not None else ()
    return f": {steps[line - 1].key}" if line else ": nothing done yet"


def _done(done: Sequence[Done]) -> tuple[str, ...]:
    whole = ", ".join(row.phase for row in done if row.is_whole)
    parts = [f"{row.phase}: begun with line {row.first}, done up to line {row.last}, not all of it" for row in done
             if not row.is_whole]  # fmt: skip
    return (*((f"{whole}: all of it",) if whole else ()), *parts) or ("nothing yet",)


def _lines(steps: Sequence[Step], found: JobStopped | JobRelieved) -> tuple[SheetLine, ...]:
    return tuple(_line(number, step, found) for number, step in enumerate(steps, start=1))


def _line(number: int, step: Step, found: JobStopped | JobRelieved) -> SheetLine:
    off = step.role.endswith(OFF)
    letter = letter_of(step.role.removesuffix(OFF)) + (" off" if off else "")
    is_said = step.place is not None and (step.place in step.key or (step.place.partition(" ")[2] or "-") in step.key)
    place = "" if is_said or step.place is None else found.domain.places[step.place].label
    words = " ".join(dict.fromkeys(utterance.words for utterance in step.said))
    # What is handed over or told word by word stands in the words alone.
    bare = step.key.partition(": ")[0] if step.tells and step.said and not step.effects else step.key
    return SheetLine(number, letter, _sentence(bare), place, words, step.caution)


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}" + ("" if words.endswith((".", "?")) else ".")
