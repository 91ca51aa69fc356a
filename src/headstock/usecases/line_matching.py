"""Which known steps a written line stands for, how surely, and why not more surely.

Sure is only a line that says who does it and that is a step's own words, or whose words fit one step well and no other nearly
as well. Everything else is doubtful and shown with what else it could be, or matches nothing. A line that negates is never
taken for the step. Where the same words stand for several steps, those are taken that can be done as things stand there.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from headstock.reasoning.step import Step
from headstock.usecases.instruction_lines import WrittenLine
from headstock.usecases.line_words import is_name_like
from headstock.usecases.step_texts import Candidate, StepTexts

SURE: Final = 0.7
"""Least score of a line that is taken for sure."""
FLOOR: Final = 0.45
"""Least score of a line that is taken at all."""
MARGIN: Final = 0.1
"""Least distance to the next step of a line that is taken for sure."""
SHOWN: Final = 3
"""Other steps shown for a doubtful line."""

Certainty = Literal["sure", "doubtful", "none"]


@dataclass(frozen=True, slots=True)
class LineMatch:
    """What one line was taken for. ``score`` is 1 for a step's own words; ``others`` come with theirs."""

    line: WrittenLine
    steps: tuple[Step, ...]
    certainty: Certainty
    score: float
    why: tuple[str, ...] = ()
    others: tuple[Candidate, ...] = ()


@dataclass(frozen=True, slots=True)
class _Found:
    steps: tuple[Step, ...]
    score: float
    why: tuple[str, ...] = ()
    others: tuple[Candidate, ...] = ()
    covers: bool = True


def match_lines(lines: Sequence[WrittenLine], texts: StepTexts, start: Mapping[str, str]) -> tuple[LineMatch, ...]:
    """Each line in turn, as things stand after the lines before it were done as matched."""
    state = dict(start)
    found = []
    for line in lines:
        if not is_a_step(line, texts):
            continue
        match = _match(line, texts, state)
        found.append(match)
        for step in match.steps:
            state.update(step.effects)
    return tuple(found)


def is_a_step(line: WrittenLine, texts: StepTexts) -> bool:
    """Whether a line is a step: a loose one only where its words fit a step well."""
    if line.kind != "loose":
        return line.kind == "step"
    ranked = texts.ranked(line.text, "")
    return bool(ranked) and ranked[0].score >= SURE


def _match(line: WrittenLine, texts: StepTexts, state: Mapping[str, str]) -> LineMatch:
    guess = () if line.role else ("no role is written: guessed",)
    own = _exact(line.text, line.role, texts, state) or _exact_parts(line, texts, state)
    if own is not None:
        return _settled(line, own, guess)
    whole = _by_words(line.text, line.role, texts, state)
    if whole is not None and not whole.why:
        return _settled(line, whole, guess)
    parts = _parts_by_words(line, texts, state)
    if parts is not None and (whole is None or parts.score > whole.score or not whole.covers):
        whole = parts
    if whole is not None:
        elsewhere = _elsewhere(line, texts, whole.score)
        if elsewhere is None:
            return _settled(line, whole, guess)
    return _nothing(line, texts)


def _settled(line: WrittenLine, found: _Found, guess: tuple[str, ...]) -> LineMatch:
    why = (*guess, *found.why)
    return LineMatch(line, found.steps, "doubtful" if why else "sure", found.score, why, found.others)


def _nothing(line: WrittenLine, texts: StepTexts) -> LineMatch:
    """A line that stands for no step, with what comes nearest, other roles' steps too."""
    elsewhere = _elsewhere(line, texts, 0.0)
    said = texts.reader.read(line.text)
    why = []
    if said.negations:
        why.append(f"it says '{min(said.negations)}': no step is taken for its own opposite")
    if elsewhere is not None:
        why.append(f"the {line.role} has no such step, the {elsewhere.step.role} has")
    strange = [figure for figure in said.figures if is_name_like(figure)]
    if strange:
        why.append(f"{min(strange)} is no unit or end of this job")
    near = [one for one in texts.ranked(line.text, line.role) if one.score > 0.2]
    others = ([elsewhere] if elsewhere is not None else []) + near
    return LineMatch(line, (), "none", near[0].score if near else 0.0, tuple(why), tuple(others[:SHOWN]))


def _elsewhere(line: WrittenLine, texts: StepTexts, score: float) -> Candidate | None:
    """Another role's step that fits clearly better."""
    if not line.role:
        return None
    best = next((one for one in texts.ranked(line.text, "") if not one.against), None)
    far = best is not None and best.step.role != line.role and best.score >= SURE and best.score > score + MARGIN
    return best if far else None


def _exact(text: str, role: str, texts: StepTexts, state: Mapping[str, str]) -> _Found | None:
    steps = texts.exact(text, role)
    if not steps:
        return None
    chosen = fitting(steps, state)
    why = ""
    if len({step.role for step in chosen}) > 1:
        why = "several roles have this step"
    elif len({texts.shape(step) for step in chosen}) > 1:
        why = "these words stand for several steps"
    if not why:
        return _Found(chosen, 1.0)
    return _Found(chosen[:1], 1.0, (why,), tuple(Candidate(step, 1.0) for step in chosen[1:]))


def _exact_parts(line: WrittenLine, texts: StepTexts, state: Mapping[str, str]) -> _Found | None:
    """Several steps in their own words on one line, as on the back of a sheet."""
    return _together([_exact(part, line.role, texts, state) for part in _parts(line.text, r";|\.(?=\s)")], ())


def _parts_by_words(line: WrittenLine, texts: StepTexts, state: Mapping[str, str]) -> _Found | None:
    parts = _parts(line.text, r";|\.(?=\s)|,|\bthen\b|\band\b")
    found = [_exact(part, line.role, texts, state) or _by_words(part, line.role, texts, state) for part in parts]
    return _together(found, ("it stands for several steps",))


def _together(found: Sequence[_Found | None], why: tuple[str, ...]) -> _Found | None:
    """Parts of a line as one find, where there are several and each stands for something."""
    parts = [part for part in found if part is not None]
    steps = tuple(dict.fromkeys(step for part in parts for step in part.steps))
    if len(parts) < max(2, len(found)) or len(steps) < 2:
        return None
    reasons = tuple(dict.fromkeys((*why, *(reason for part in parts for reason in part.why))))
    others = tuple(other for part in parts for other in part.others)
    return _Found(steps, min(part.score for part in parts), reasons, others[:SHOWN])


def _parts(text: str, between: str) -> list[str]:
    """A line cut in parts, each with the words before the line's colon."""
    head, colon, tail = text.partition(": ")
    parts = [part.strip() for part in re.split(between, tail if colon else text) if part.strip(" .")]
    return [f"{head}: {part}" for part in parts] if colon else parts


def _by_words(text: str, role: str, texts: StepTexts, state: Mapping[str, str]) -> _Found | None:
    ranked = texts.ranked(text, role)
    if not ranked or ranked[0].score < FLOOR:
        return None
    best = ranked[0]
    alike = [one for one in ranked if _is_alike(one, best, texts)]
    chosen = fitting([one.step for one in alike], state)
    others = tuple(one for one in ranked if one.step not in chosen)
    why = list(best.against)
    if best.score < SURE:
        why.append(f"few words fit ({best.score:.2f})")
    if len(alike) > 1:
        why.append("it stands for several steps" if len(chosen) > 1 else "which of several is not said: the one that can be done")
    elif others and others[0].score > best.score - MARGIN:
        why.append(f"another step fits nearly as well ({best.score:.2f} and {others[0].score:.2f})")
    return _Found(chosen, best.score, tuple(why), others[:SHOWN], best.covers)


def _is_alike(one: Candidate, best: Candidate, texts: StepTexts) -> bool:
    """Whether a line says nothing that tells two steps apart: the same but for an end, or both longer than the line."""
    shape, other = texts.shape(one.step), texts.shape(best.step)
    if shape == other:
        return best.score - one.score < 1e-9
    is_short = best.score <= SURE and one.score >= FLOOR and one.covers and best.covers
    return is_short and shape[:1] == other[:1]


def fitting(steps: Iterable[Step], state: Mapping[str, str]) -> tuple[Step, ...]:
    """Of some steps those that fit best as things stand: fewest needs unmet, and something to change if they change things."""

    def misfit(step: Step) -> int:
        unmet = sum(state.get(key) != value for key, value in step.needs if key in state)
        idle = bool(step.effects) and all(state.get(key) == value for key, value in step.effects)
        return unmet + idle

    ranked = [(misfit(step), step) for step in steps]
    least = min(rank for rank, _ in ranked)
    return tuple(step for rank, step in ranked if rank == least)
