"""The mistakes of a job as sections of rows, which the terminal and the page both show: what goes wrong, what follows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.mistake_study import Outcome
from headstock.reasoning.mistakes import KINDS
from headstock.usecases.job_mistakes import LEAST, JobMistakes, JobPairs
from headstock.usecases.mistake_words import added_in_words, broken_in_words, end_in_words, look_in_words, mistakes_in_words


@dataclass(frozen=True, slots=True)
class MistakeRow:
    """A mistake or a look, and what follows, line by line."""

    what: str
    follows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MistakeSection:
    """A heading with its rows, the worst first."""

    heading: str
    rows: tuple[MistakeRow, ...]


def counts_of(outcomes: Sequence[Outcome]) -> dict[str, int]:
    """How many of each verdict."""
    found = Counter(outcome.verdict for outcome in outcomes)
    late = sum(outcome.verdict == "noticed" and bool(outcome.broken) for outcome in outcomes)
    return {"all": len(outcomes), "noticed": found["noticed"], "noticed_after_a_broken_rule": late,
            "latent": found["latent"], "unseen": found["unseen"], "harmless": found["harmless"]}  # fmt: skip


def count_words(answer: JobMistakes) -> tuple[str, ...]:
    """How many there are, of which kinds, and what becomes of them. Raises ValueError where there is no order of work."""
    counts, going = counts_of(answer.outcomes), _going(answer)
    kinds = Counter(outcome.mistake.kind for outcome in answer.outcomes)
    listed = ", ".join(f"{kinds[kind]} {kind}" for kind in KINDS)
    return (
        f"{counts['all']} single mistakes in {len(going.order)} lines: {listed}. Moves that come to the same are one.",
        f"Noticed in the job: {counts['noticed']}, {counts['noticed_after_a_broken_rule']} of them only after a rule was broken. "
        f"Nobody notices: {counts['latent']} go into service, {counts['unseen']} more break a rule and end as they should. "
        f"Nothing comes of {counts['harmless']} by themselves: a look left out hurts only with another mistake.",
    )


def mistake_sections(answer: JobMistakes, top: int) -> tuple[MistakeSection, ...]:
    """At most ``top`` rows a section. Raises ValueError where there is no order of work."""
    going = _going(answer)
    silent = [outcome for outcome in answer.outcomes if outcome.gravity and outcome.mistake.kind != "left out"]
    late = [o for o in answer.outcomes if o.verdict == "noticed" and o.broken]
    to_add = f"Looks to add for mistakes of plausibility {LEAST} or more, the one that takes away most first:"
    added = [MistakeRow(added_in_words(going, look)) for look in answer.added]
    if answer.blind:
        said = f"No look at a thing would reveal {len(answer.blind)} of those that nobody notices: only doing it right does."
        added.append(MistakeRow(said))
    looks = [MistakeRow(look_in_words(going, weight)) for weight in answer.looks if weight.reveals][:top]
    sections = [
        MistakeSection("Left out, and nobody notices, the worst first:", _rows(going, answer.omissions, top)),
        MistakeSection(f"Done otherwise, and nobody notices ({len(silent)} in all):", _rows(going, silent, top)),
        MistakeSection(f"Noticed, but only after a rule was broken ({len(late)} in all):", _rows(going, late, top)),
        MistakeSection("Looks on which most rests:", tuple(looks)),
        MistakeSection(to_add, tuple(added)),
    ]
    if answer.pairs is not None:
        sections.append(_pairs_section(going, answer.pairs, top))
    return tuple(sections)


def _going(answer: JobMistakes) -> GoingOn:
    if answer.going is None:
        raise ValueError("there is no order of work")
    return answer.going


def _pairs_section(going: GoingOn, pairs: JobPairs, top: int) -> MistakeSection:
    count = pairs.count
    heading = (
        f"Two together, each of plausibility {pairs.least_plausibility} or more: {count.run} pairs run, {count.settled} settled "
        f"because the first is noticed before the second; {count.worse} do more harm than the two apart. The worst:"
    )
    return MistakeSection(heading, _rows(going, pairs.worst, top))


def _rows(going: GoingOn, outcomes: Sequence[Outcome], top: int) -> tuple[MistakeRow, ...]:
    """One row for all mistakes of one kind at one line, the worst of them told."""
    alike: dict[tuple[object, ...], list[Outcome]] = {}
    for outcome in outcomes:
        alike.setdefault(tuple((m.kind, m.lines) for m in outcome.mistakes), []).append(outcome)
    return tuple(_row(going, found[0], len(found) - 1) for found in list(alike.values())[:top])


def _row(going: GoingOn, outcome: Outcome, more: int) -> MistakeRow:
    """The mistake, what it breaks, how it ends."""
    like = f" (and {more} more of this kind here)" if more else ""
    return MistakeRow(f"{mistakes_in_words(going, outcome)}{like}", (*broken_in_words(outcome), end_in_words(going, outcome)))
