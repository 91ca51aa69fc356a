"""Mistakes that somebody can make with one order of work: each step left out, too early, too late, on the wrong thing, half done.

Moves that lead to the same order but for steps that may change places are one mistake: two steps may change places when
neither touches, needs, shows or tells what the other touches, and no constraint reads what both touch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from headstock.reasoning.acts import Act, only_first
from headstock.reasoning.constraint import place_key
from headstock.reasoning.going_on import GoingOn
from headstock.reasoning.step import Step

Kind = Literal["left out", "too early", "too late", "wrong object", "wrong end", "half done"]
KINDS: tuple[Kind, ...] = ("left out", "too early", "too late", "wrong object", "wrong end", "half done")
NOT_LOOKED, FIRST_ONLY, NO_SIGN, NOT_SAID = "not really looked", "the first of it only", "the sign not won", "done, not said"


@dataclass(frozen=True, slots=True)
class Mistake:
    """Somebody goes wrong at a line (0 is the first).

    ``past`` is the last line that a moved one is put before (too early) or behind (too late); ``how`` says which half of a
    half-done step is missing, or what was done instead; ``also`` names further lines left out with it;
    ``crossed`` counts the steps past which a moved one has gone and with which it may not change places.
    """

    kind: Kind
    line: int
    past: int | None = None
    how: str = ""
    also: tuple[int, ...] = ()
    crossed: int = 0
    act: Act | None = field(default=None, compare=False)

    @property
    def lines(self) -> tuple[int, ...]:
        """All lines that are not done as they should be."""
        return (self.line, *self.also)

    @property
    def first(self) -> int:
        """The first line at which the order is another than the right one."""
        return min(self.line, self.past) if self.past is not None else self.line


def script_of(going: GoingOn, *mistakes: Mistake) -> tuple[list[Act], int]:
    """The acts of the order with some mistakes in it, and the place at which it first differs."""
    acts: list[Act | None] = list(going.acts)
    order = list(range(len(acts)))
    for mistake in mistakes:
        if mistake.kind == "left out":
            for line in mistake.lines:
                acts[line] = None
        elif mistake.past is None:
            acts[mistake.line] = mistake.act
        elif acts[mistake.line] is not None:
            acts[mistake.line] = mistake.act
            order.remove(mistake.line)
            anchor = order.index(mistake.past) + (mistake.kind == "too late")
            order.insert(anchor, mistake.line)
    first = min((mistake.first for mistake in mistakes), default=len(acts))
    return [act for line in order if (act := acts[line]) is not None], first


def single_mistakes(going: GoingOn) -> tuple[Mistake, ...]:
    """Every single mistake of the order, each once."""
    found: list[Mistake] = []
    for line in range(len(going.order)):
        found.append(Mistake("left out", line))
    found += _all_of_one_thing(going)
    found += _moves(going)
    for line, step in enumerate(going.order):
        found += _on_fellows(going, line, step)
        found += _half_done(going, line, step)
    return tuple(found)


def _all_of_one_thing(going: GoingOn) -> Iterator[Mistake]:
    """All steps of one person that are about one thing, in one phase, left out together."""
    groups: dict[tuple[str, str, str], list[int]] = {}
    for line, step in enumerate(going.order):
        about = (*step.effects, *step.shows)[:1]
        for key, _ in about:
            if going.domain.variables[key].kind == "device":
                groups.setdefault((step.role, step.phase, key), []).append(line)
    for (_, phase, _), lines in groups.items():
        if phase and len(lines) > 1:
            yield Mistake("left out", lines[0], also=tuple(lines[1:]))


def _moves(going: GoingOn) -> Iterator[Mistake]:
    """Every step done before earlier ones or after later ones with which it may not change places.

    Two moves that lead to the same order are one when the same person goes wrong; when another does, others are mistaken.
    """
    for line in range(len(going.order)):  # constraints show what they read
        going.run(*script_of(going, Mistake("left out", line)), to_the_end=True)
    tied = ties(going)
    seen: set[tuple[str, frozenset[tuple[int, int]]]] = set()
    for line, step in enumerate(going.order):
        act = going.maker.wrong(line, step)
        ways: tuple[tuple[Kind, Sequence[int]], ...] = (
            ("too early", range(line - 1, -1, -1)),
            ("too late", range(line + 1, len(going.order))),
        )
        for kind, others in ways:
            turned: list[tuple[int, int]] = []
            for other in others:
                if not tied[line] >> other & 1:
                    continue
                turned.append((min(line, other), max(line, other)))
                if (mark := (step.role, frozenset(turned))) not in seen:
                    seen.add(mark)
                    yield Mistake(kind, line, past=other, crossed=len(turned), act=act)


def ties(going: GoingOn) -> list[int]:
    """For each line the others (one bit each) with which it may not change places."""
    reads, writes = [], []
    told: list[set[tuple[str, str]]] = []
    for line, step in enumerate(going.order):
        act = going.acts[line]
        states = going.moments[line][0] ^ going.moments[line + 1][0]
        touched = (*step.touched(), *(going.domain.voids[key][0] for key in step.touched() if key in going.domain.voids))
        writes.append(going.bits.any_of(touched) | _whole(going, states))
        facts = (*step.needs, *step.shows)
        resting = _whole(going, act.looks | sum(test for chance in act.chances for test in chance.tests if test))
        reads.append(going.bits.any_of(key for key, _ in facts) | resting | _standing_read(going, step))
        told.append({(role, key) for role, key in _words(step)})
    found = [0] * len(going.order)
    for one in range(len(found)):
        for other in range(one):
            if _is_tied(going, one, other, reads, writes) or _share_words(going.order, one, other, told):
                found[one] |= 1 << other
                found[other] |= 1 << one
    return found


def _is_tied(going: GoingOn, one: int, other: int, reads: list[int], writes: list[int]) -> bool:
    both = writes[one], writes[other]
    if both[0] & (reads[other] | both[1]) or both[1] & reads[one]:
        return True
    return any(both[0] & mask and both[1] & mask for mask in (*going.judge.reads, *going.ears.reads))


def _whole(going: GoingOn, mask: int) -> int:
    """All bits of the variables of which a mask has any."""
    return going.bits.any_of({key for key, _ in going.bits.facts(mask)})


def _standing_read(going: GoingOn, step: Step) -> int:
    """Where the role stands matters for work at closed places, and for coming out of them."""
    return 0 if step.place is None else going.bits.whole[place_key(step.role)]


def _words(step: Step) -> Iterator[tuple[str, str]]:
    for key, _ in (*step.knows, *step.shows, *step.effects):
        yield step.role, key
    for key, _ in step.tells:
        yield step.role, key
        yield step.hearer, key


def _share_words(order: Sequence[Step], one: int, other: int, told: list[set[tuple[str, str]]]) -> bool:
    """Whether one wins or tells knowledge that the other rests on."""
    gives = [bool(step.tells or step.shows or step.effects) for step in (order[one], order[other])]
    return any(gives) and bool(told[one] & told[other]) and not _only_know(order[one], order[other])


def _only_know(one: Step, other: Step) -> bool:
    return not (one.tells or one.shows or one.effects or other.tells or other.shows or other.effects)


def _on_fellows(going: GoingOn, line: int, step: Step) -> Iterator[Mistake]:
    for fellow in going.maker.around.fellows.get(step.ident, ()):
        yield Mistake(fellow.kind, line, how=fellow.step.key, act=going.maker.wrong(line, fellow.step))


def _half_done(going: GoingOn, line: int, step: Step) -> Iterator[Mistake]:
    """Looked without seeing; of several effects the first alone; moved without winning the sign; done without the word."""
    maker, variables = going.maker, going.domain.variables
    own = [fact for fact in step.effects if fact[0] not in maker.following]
    if going.acts[line].looks:
        yield Mistake("half done", line, how=NOT_LOOKED, act=maker.wrong(line, step, looked=False))
    whole = replace(step, effects=tuple(own))
    first = only_first(whole, maker.around)
    if first != whole:
        yield Mistake("half done", line, how=FIRST_ONLY, act=maker.wrong(line, first))
    signs = [fact for fact in own if variables[fact[0]].sign]
    plain = tuple(fact for fact in own if fact not in signs)
    if signs and (first == whole or plain != first.effects):
        yield Mistake("half done", line, how=NO_SIGN, act=maker.wrong(line, replace(step, effects=plain)))
    if step.tells and own:
        yield Mistake("half done", line, how=NOT_SAID, act=maker.wrong(line, step, said=False))
