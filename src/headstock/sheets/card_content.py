"""What stands on each role's pocket card: its own part of the sheet's blocks, its words, its limits, how it looks when done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.reasoning.step import Step
from headstock.sheets.blocks import TELLS, runs_of, title_of
from headstock.sheets.compose import readings_of
from headstock.sheets.content import EndPicture, Reading
from headstock.sheets.letters import letter_of
from headstock.sheets.pictures import done_picture
from headstock.usecases.plan_job import JobPlan

TOUCHED = "Touched anything after the test? Say so. The test is void and made again."
BOARD = "A board stops the approach. Only whoever placed it takes it off."
MOST_CAUTIONS = 8
"""What the back of a card holds in readable print; the picture gives way before a caution does."""
UNSPOKEN_PHASES = ("agree", "test")
"""What is agreed, and what is told in a test, stands on the sheet alone."""


@dataclass(frozen=True, slots=True)
class CardLine:
    """A block of the sheet as one role sees it: short sentences in order, and which of them give way first when room is short.

    ``ranks`` holds one number for each sentence; the highest give way first.
    """

    number: int
    title: str
    briefs: tuple[str, ...]
    ranks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words that the role says or hears; ``is_said_back`` whether they are repeated."""

    text: str
    is_heard: bool
    is_said_back: bool
    other: str


@dataclass(frozen=True, slots=True)
class RoleCard:
    """Both sides of one role's card."""

    letter: str
    role: str
    name: str
    in_charge: bool
    lines: tuple[CardLine, ...]
    words: tuple[Spoken, ...]
    readings: tuple[Reading, ...]
    done: EndPicture | None
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CardsContent:
    """The cards of a job; ``joint`` and ``footer`` stand on each."""

    title: str
    joint: str
    footer: str
    invented: bool
    cards: tuple[RoleCard, ...]


def cards_of(answer: JobPlan) -> CardsContent:
    """The cards of everyone who has something to do in a planned job. Raises ValueError for a job without an order of work."""
    task = answer.assembled.task
    if task is None or answer.order is None or answer.assembled.found is None or answer.answer != "yes":
        raise ValueError("there is no order of work to print")
    papers, steps = answer.papers, answer.order.steps
    done = done_picture(task, answer.assembled.found, steps)
    cards = tuple(_card(task, role, name, steps, done) for role, name in task.crew.items())
    return CardsContent(
        title=papers.job.title,
        joint=f"{task.near} {'from' if task.parts else 'to'} {task.far} · {papers.place.name}",
        footer=f"{papers.rules.name}, edition {papers.rules.edition}",
        invented=papers.job.invented or papers.rules.invented or papers.place.invented,
        cards=tuple(card for card in cards if card.lines),
    )


def _card(task: AttachTask, role: str, name: str, steps: Sequence[Step], done: EndPicture) -> RoleCard:
    own = [step for step in steps if step.role == role]
    is_between = role in people_between(task) and not task.is_alone
    return RoleCard(
        letter=letter_of(role),
        role=role,
        name=name,
        in_charge=role == task.role_for("in_charge"),
        lines=_lines(task, role, steps),
        words=_words(role, steps),
        readings=_readings(task, role),
        done=done if is_between else None,
        cautions=_cautions(task, own),
    )


def _lines(task: AttachTask, role: str, steps: Sequence[Step]) -> tuple[CardLine, ...]:
    lines = []
    for number, (phase, places) in enumerate(runs_of(steps), start=1):
        own = [steps[place] for place in places if steps[place].role == role]
        weights: dict[str, int] = {}
        for step in own:
            text, weight = _short(step)
            if text:
                weights[text] = min(weights.get(text, weight), weight)
        order = sorted(weights, key=lambda brief: weights[brief])
        if own:
            lines.append(CardLine(number, title_of(phase, task), tuple(weights), tuple(order.index(b) for b in weights)))
    return tuple(lines)


def _short(step: Step) -> tuple[str, int]:
    """A step in a short sentence, and its weight: what carries a caution stays longest, what has no short sentence gives way."""
    if step.brief:
        return step.brief, 0 if step.caution else 1
    return ("", 2) if step.key.startswith((TELLS, "call ")) else (f"{step.key[0].upper()}{step.key[1:]}.", 2)


def _words(role: str, steps: Sequence[Step]) -> tuple[Spoken, ...]:
    """The words of movements and of protection, once each."""
    found: dict[Spoken, None] = {}
    for step in steps:
        if step.phase in UNSPOKEN_PHASES or step.key.startswith(TELLS):
            continue
        for said in step.said:
            if role in (said.speaker, said.hearer) and said.speaker != said.hearer:
                other = said.hearer if role == said.speaker else said.speaker
                found[Spoken(said.words, role == said.hearer, said.said_back, other)] = None
    return tuple(found)


def _readings(task: AttachTask, role: str) -> tuple[Reading, ...]:
    """The limits of the gauges that this role reads."""
    ends = {"front": task.role_for("drives"), "rear": task.role_for("reads_rear")}
    return tuple(reading for reading in readings_of(task) if ends[reading.where] == role)


def _cautions(task: AttachTask, own: Sequence[Step]) -> tuple[str, ...]:
    """The cautions of the role's own steps, those between the ends first and then the oftenest; last what holds for all."""
    counts: dict[str, int] = {}
    for step in own:
        if step.caution:
            counts[step.caution] = counts.get(step.caution, 0) + 1
    between = {step.caution for step in own if step.phase == "between"}
    general = (TOUCHED,) if task.parts else (TOUCHED, BOARD)
    ranked = sorted(counts, key=lambda text: (text not in between, -counts[text]))
    return (*ranked[: MOST_CAUTIONS - len(general)], *general)
