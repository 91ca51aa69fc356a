"""What becomes of mistakes: noticed by whom and when, or not; what was broken before; what is wrong when the job is over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from headstock.reasoning.fact_bits import ones_of
from headstock.reasoning.going_on import Course, GoingOn, Means
from headstock.reasoning.mistakes import Mistake, script_of
from headstock.reasoning.variable import Fact

Verdict = Literal["noticed", "harmless", "unseen", "latent"]
"""Noticed in the job; nothing came of it; a rule broken and nobody saw it, though all ends as it should; into service."""
SILENT: tuple[Verdict, ...] = ("unseen", "latent")


@dataclass(frozen=True, slots=True)
class Broken:
    """A constraint broken before anybody noticed: at which line (1 is the first), which, why, how it hurts."""

    line: int
    key: str
    text: str
    hurts: str


@dataclass(frozen=True, slots=True)
class Noticing:
    """Who notices, at which line (past the last: when the job is handed over), by what, and which facts tell it."""

    line: int
    who: str
    means: Means
    facts: tuple[Fact, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What becomes of one mistake or of two together. ``left`` are the facts of the end state that do not hold."""

    mistakes: tuple[Mistake, ...]
    verdict: Verdict
    broken: tuple[Broken, ...]
    noticing: Noticing | None
    left: tuple[Fact, ...]

    @property
    def mistake(self) -> Mistake:
        """The mistake, or the first of two."""
        return self.mistakes[0]

    @property
    def gravity(self) -> int:
        """For ranking, see `gravity_of`."""
        return gravity_of(self.verdict, bool(self.broken))


def gravity_of(verdict: Verdict, is_broken: bool) -> int:
    """0 when somebody notices or nothing comes of it; else 2 for a broken rule, and 1 for what goes into service."""
    return 0 if verdict not in SILENT else 2 * is_broken + (verdict == "latent")


def verdict_of(going: GoingOn, course: Course) -> Verdict:
    """How a run is to be called."""
    if course.seen is not None:
        return "noticed"
    if going.goal & ~course.state:
        return "latent"
    return "unseen" if course.broken else "harmless"


def outcome_of(going: GoingOn, *mistakes: Mistake) -> Outcome:
    """Run one mistake, or two together, and say what becomes of it."""
    script, first = script_of(going, *mistakes)
    course = going.run(script, first)
    lines = [act.line for act in script]
    broken = tuple(
        Broken(lines[place] + 1, going.judge.constraints[number].key, _why(going, number, state),
               going.judge.constraints[number].hurts)
        for place, number, state in course.broken
    )  # fmt: skip
    verdict = verdict_of(going, course)
    left = going.bits.facts(going.goal & ~course.state) if course.seen is None else ()
    return Outcome(tuple(mistakes), verdict, broken, _noticing(going, course), left)


def study(going: GoingOn, mistakes: Sequence[Mistake]) -> tuple[Outcome, ...]:
    """What becomes of each mistake alone."""
    return tuple(outcome_of(going, mistake) for mistake in mistakes)


def _why(going: GoingOn, number: int, state: int) -> str:
    return f"{going.judge.constraints[number].text}: {going.judge.why(number, state)}"


def _noticing(going: GoingOn, course: Course) -> Noticing | None:
    seen = course.seen
    if seen is None:
        return None
    if seen.means == "noise":
        numbers = [one.bit_length() - 1 for one in ones_of(seen.mask)]
        text = "; ".join(going.ears.why(number, course.state) for number in numbers)
        return Noticing(seen.line + 1, "", "noise", (), text)
    if seen.means == "word" and seen.line == len(going.order):
        return _awaited(going, seen.mask)
    role = going.order[seen.line].role
    if seen.means == "word":
        facts = _words(going, seen.mask, seen.line)
        return Noticing(seen.line + 1, role, "word", facts, f"not said to the {role}: {_said(going, facts)}")
    facts = going.bits.facts(seen.mask)
    return Noticing(seen.line + 1, role, seen.means, facts, f"not so: {_said(going, facts)}")


def _awaited(going: GoingOn, mask: int) -> Noticing:
    pairs = [pair for pair, one in going.maker.words.items() if one & mask]
    role, facts = pairs[0][0], tuple(fact for _, fact in pairs)
    return Noticing(len(going.order) + 1, role, "word", facts, f"not said to the {role}: {_said(going, facts)}")


def _words(going: GoingOn, mask: int, line: int) -> tuple[Fact, ...]:
    """Facts of missing words: of what is known by word, or of things that are said when they are done."""
    act = going.acts[line]
    if mask & act.unsaid == mask:
        return going.bits.facts(mask)
    return tuple(fact for (_, fact), one in going.maker.words.items() if one & mask)


def _said(going: GoingOn, facts: Sequence[Fact]) -> str:
    return "; ".join(say_fact(going, fact) for fact in facts)


def say_fact(going: GoingOn, fact: Fact) -> str:
    """A fact in words."""
    variable = going.domain.variables.get(fact[0])
    return variable.say(fact[1]) if variable is not None else f"{fact[0].removeprefix('at/')} at {fact[1]}"
