"""Mistakes and what becomes of them, in words, for the terminal and JSON alike."""

from __future__ import annotations

from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_ranking import AddedLook, LookWeight
from headstock.reasoning.mistake_study import Outcome, say_fact
from headstock.reasoning.mistakes import Mistake

MEANS_WORDS = {
    "word": "waits for a word", "hand": "has it in hand", "sight": "sees it", "trial": "tries it", "noise": "it is heard",
    "look": "looks",
}  # fmt: skip


def mistake_in_words(going: GoingOn, mistake: Mistake) -> str:
    """Which line, what went wrong."""
    step = going.order[mistake.line]
    where = f"line {mistake.line + 1}"
    if mistake.also:
        where = "lines " + ", ".join(str(line + 1) for line in mistake.lines)
    said = f"{where}, {step.role}: {step.key}"
    if mistake.past is not None:
        past = f"before line {mistake.past + 1}" if mistake.kind == "too early" else f"after line {mistake.past + 1}"
        return f"{said} — {mistake.kind}, {past}"
    if mistake.kind in ("wrong object", "wrong end"):
        return f"{said} — {mistake.kind}: {mistake.how}"
    return f"{said} — {mistake.kind}" + (f": {mistake.how}" if mistake.how else "")


def mistakes_in_words(going: GoingOn, outcome: Outcome) -> str:
    """One mistake, or two together."""
    return "; and ".join(mistake_in_words(going, mistake) for mistake in outcome.mistakes)


def broken_in_words(outcome: Outcome) -> tuple[str, ...]:
    """Each rule broken once, at the line where it was first broken, and how it hurts."""
    first = {broken.key: broken for broken in reversed(outcome.broken)}
    rows = sorted(first.values(), key=lambda broken: broken.line)
    return tuple(f"line {broken.line} breaks a rule: {broken.text}. {broken.hurts}".strip() for broken in rows)


def end_in_words(going: GoingOn, outcome: Outcome) -> str:
    """Who notices and when, or that nobody does and what is then wrong."""
    noticing, lines = outcome.noticing, len(going.order)
    if noticing is not None:
        who = f"the {noticing.who} " if noticing.who else ""
        at = f"line {noticing.line} of {lines}" if noticing.line <= lines else "when the job is handed over"
        return f"noticed at {at}: {who}{MEANS_WORDS[noticing.means]}; {noticing.text}"
    if outcome.left:
        wrong = "; ".join(say_fact(going, fact) for fact in outcome.left)
        return f"nobody notices; goes into service without: {wrong}"
    return "nobody notices; all ends as it should" if outcome.broken else "nothing comes of it by itself"


def look_in_words(going: GoingOn, weight: LookWeight) -> str:
    """What rests on one look."""
    step = going.order[weight.line - 1]
    silent = weight.latent + weight.unseen
    without = f"without it {silent} of them stay hidden for good" if silent else "without it something else reveals them all"
    later = f", the others {weight.lines_longer} lines longer all together" if weight.lines_longer else ""
    plural = "mistake" if weight.reveals == 1 else "mistakes"
    return f"line {weight.line}, {step.role}: {step.key} — first to reveal {weight.reveals} {plural}; {without}{later}"


def added_in_words(going: GoingOn, look: AddedLook) -> str:
    """A look to add."""
    variable = going.domain.variables[look.key]
    lines = len(going.order)
    when = f"before line {look.before_line}" if look.before_line <= lines else "at the end"
    right = going.moments[min(look.before_line, lines + 1) - 1][0]
    said = variable.say(going.bits.value(right, look.key))
    latent = sum(outcome.verdict == "latent" for outcome in look.reveals)
    plural = "mistake" if len(look.reveals) == 1 else "mistakes"
    return f"{when}: {said}? It reveals {len(look.reveals)} {plural} that nobody would notice, {latent} of them into service"
