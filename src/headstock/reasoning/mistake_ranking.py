"""Rankings over mistakes: omissions that stay latent, looks that carry the most weight, the smallest look to add."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from headstock.reasoning.going_on import Course, GoingOn
from headstock.reasoning.mistake_study import Outcome, verdict_of
from headstock.reasoning.mistakes import NOT_LOOKED, Mistake, script_of

Plausibility = Callable[[Mistake], int]


@dataclass(frozen=True, slots=True)
class LookWeight:
    """One look: the mistakes that it is the first to reveal, and what becomes of them when it is only said to have been made.

    ``latent`` go into service, ``unseen`` break a rule and are never seen, ``lines_longer`` are hidden that much longer, summed
    over those that something else reveals.
    """

    line: int
    reveals: int
    latent: int
    unseen: int
    lines_longer: int


@dataclass(frozen=True, slots=True)
class AddedLook:
    """A look at one thing before a line (past the last: at the end), and which silent mistakes it would have revealed."""

    key: str
    before_line: int
    reveals: tuple[Outcome, ...]


def silent(outcomes: Sequence[Outcome]) -> tuple[Outcome, ...]:
    """Those of which something comes and that nobody notices."""
    return tuple(outcome for outcome in outcomes if outcome.gravity)


def latent_omissions(outcomes: Sequence[Outcome], plausibility: Plausibility) -> tuple[Outcome, ...]:
    """Steps whose omission nobody notices, the gravest first, then the most plausible, then the earliest."""
    left_out = [outcome for outcome in silent(outcomes) if outcome.mistake.kind == "left out"]
    return tuple(sorted(left_out, key=lambda o: worst_first(o, plausibility)))


def worst_first(outcome: Outcome, plausibility: Plausibility) -> tuple[object, ...]:
    """Key for sorting: graver, more plausible, of fewer lines, earlier."""
    likely = sum(plausibility(mistake) for mistake in outcome.mistakes)
    lines = [line for mistake in outcome.mistakes for line in mistake.lines]
    return -outcome.gravity, -likely, len(lines), lines[0], outcome.mistake.past or 0


def look_weights(going: GoingOn, mistakes: Sequence[Mistake], outcomes: Sequence[Outcome]) -> tuple[LookWeight, ...]:
    """Every look of the order, the one that most rests on first. A look that is the first to reveal nothing stands last."""
    without = {mistake.line: mistake for mistake in mistakes if mistake.how == NOT_LOOKED}
    found: dict[int, list[tuple[Outcome, Course]]] = {line: [] for line in without}
    for outcome in outcomes:
        seen = outcome.noticing
        if seen is None or seen.means != "look" or seen.line - 1 not in without:
            continue
        look = without[seen.line - 1]
        if look.line not in outcome.mistake.lines:
            course = going.run(*script_of(going, outcome.mistake, look))
            found[look.line].append((outcome, course))
    weights = [_weight(going, line, courses) for line, courses in found.items()]
    return tuple(sorted(weights, key=lambda w: (-w.latent - w.unseen, -w.lines_longer, -w.reveals, w.line)))


def _weight(going: GoingOn, line: int, courses: Sequence[tuple[Outcome, Course]]) -> LookWeight:
    ends = [verdict_of(going, course) for _, course in courses]
    longer = sum(max(course.seen.line - line, 0) for _, course in courses if course.seen is not None)
    return LookWeight(line + 1, len(courses), ends.count("latent"), ends.count("unseen"), longer)


def added_looks(
    going: GoingOn, outcomes: Sequence[Outcome], plausibility: Plausibility, most: int = 5
) -> tuple[tuple[AddedLook, ...], tuple[Outcome, ...]]:
    """Looks at one thing each that would reveal the silent mistakes, those that reveal the worst first; and what no look shows.

    Each next look is chosen for what the ones before it leave. A mistake counts when the look comes before its first broken
    rule, or before the end where none is broken.
    """
    shown: dict[tuple[str, int], list[Outcome]] = {}
    left, can_be_seen = silent(outcomes), _can_be_seen(going)
    for outcome in left:
        for place in _differences(going, outcome, can_be_seen):
            shown.setdefault(place, []).append(outcome)
    chosen: list[AddedLook] = []
    seen = {id(outcome) for found in shown.values() for outcome in found}
    blind = [outcome for outcome in left if id(outcome) not in seen]
    while shown and len(chosen) < most:
        place, found = max(shown.items(), key=lambda item: (_sum(item[1], plausibility), item[0][1], item[0][0]))
        chosen.append(AddedLook(*place, tuple(found)))
        gone = set(map(id, found))
        shown = {key: rest for key, some in shown.items() if (rest := [one for one in some if id(one) not in gone])}
    return tuple(chosen), tuple(blind)


def _sum(outcomes: Sequence[Outcome], plausibility: Plausibility) -> int:
    """How much a look takes away: the graver and the more plausible, the more."""
    return sum(outcome.gravity * plausibility(outcome.mistake) for outcome in outcomes)


def _differences(going: GoingOn, outcome: Outcome, can_be_seen: int) -> Iterator[tuple[str, int]]:
    """Things one could look at that stand otherwise than they should, with the line before which one would have to look."""
    script, first = script_of(going, outcome.mistake)
    lines = [act.line for act in script]
    deadline = outcome.broken[0].line - 1 if outcome.broken else len(going.order)
    state = going.moments[first][0]
    for place in range(first, len(script)):
        line = lines[place]
        if line not in outcome.mistake.lines and line <= deadline:
            yield from ((key, line + 1) for key in _otherwise(going, state, going.moments[line][0], can_be_seen))
        state = going.after(script[place], state)
    if not outcome.broken or outcome.left:
        yield from ((key, len(going.order) + 1) for key in _otherwise(going, state, going.right.state, can_be_seen))


def _otherwise(going: GoingOn, state: int, right: int, can_be_seen: int) -> list[str]:
    return [key for key, _ in going.bits.facts((state ^ right) & right & can_be_seen)]


def _can_be_seen(going: GoingOn) -> int:
    """Devices, and whatever some step of the domain can look at."""
    around, domain = going.maker.around, going.domain
    keys = {key for key, variable in domain.variables.items() if variable.kind == "device"}
    keys |= {key for step in domain.steps for key, _ in (*step.shows, *around.looks.get(step.ident, ()))}
    return going.bits.any_of(keys)
