"""A pair of ends in words ready to set: the answer, what is asked, brought, changed and lost, the wires pin by pin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from headstock.formation.brake_across import is_electric
from headstock.formation.joinability import JoinResult, Way
from headstock.formation.wires import WireMatch, function_lines, pin_words, wire_words
from headstock.sheets.joint_square import Crossing

WAY_WORDS = {"direct": "directly", "screw": "by a screw coupling", "adapter": "through an adapter"}
ACROSS_WORDS = {"automatic": "brake pipe through", "wires": "brake across by wires", "nothing": "no brake across"}


@dataclass(frozen=True, slots=True)
class WordBlock:
    """A heading with its lines; ``boxed`` lines are ticked when they are so."""

    title: str
    lines: tuple[str, ...]
    boxed: bool = False


@dataclass(frozen=True, slots=True)
class PinTable:
    """A jumper or head against its fellow: verdict, functions, and rows of pin, first, second, what that makes."""

    verdict: str
    functions: tuple[str, ...]
    heads: tuple[str, str]
    rows: tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True, slots=True)
class PairWords:
    """Everything that is said of a pair."""

    first: str
    second: str
    answer: str
    headline: str
    crossing: Crossing
    blocks: tuple[WordBlock, ...]
    pins: tuple[PinTable, ...]


def pair_words(join: JoinResult, first: str, second: str) -> PairWords:
    """The words for two ends, under the names that they have on the page."""
    return PairWords(first, second, join.answer, _headline(join), crossing_of(join), tuple(_blocks(join)),
                     tuple(_pins(match, join) for match in join.wires))  # fmt: skip


def crossing_of(join: JoinResult) -> Crossing:
    """What crosses the joint, for its square."""
    best = join.best
    if join.answer == "no":
        return Crossing("no")
    electric = is_electric(best.level)
    doubtful = not electric and best.name == "direct" and any(all(match.patterns) for match in join.wires)
    return Crossing(best.name, best.main_reservoir_through, best.across == "automatic", electric,
                    best.level == "full multiple working", doubtful)  # fmt: skip


def square_words(join: JoinResult) -> str:
    """The square in words, in the order it is drawn, for whoever does not see it."""
    best = join.best
    if join.answer == "no":
        return "cannot be joined"
    main = "main reservoir pipe through" if best.main_reservoir_through else "main reservoir pipe not through"
    return f"{join.answer}, {WAY_WORDS[best.name]}, {best.level}, {main}, {ACROSS_WORDS[best.across]}"


def _headline(join: JoinResult) -> str:
    best = join.best
    if join.answer == "no":
        return "No way to join them"
    main = "main reservoir pipe through" if best.main_reservoir_through else "main reservoir pipe not through"
    return f"Joined {WAY_WORDS[best.name]}: {best.level}; {ACROSS_WORDS[best.across]}, {main}"


def _blocks(join: JoinResult) -> Iterator[WordBlock]:
    best = join.best
    if join.answer != "no":
        parts = (("Only if", best.conditions, True), ("Bring", best.equipment, False), ("Make ready", best.changes, True),
                 ("Lost", best.losses, False), ("Restrictions", best.restrictions, False))  # fmt: skip
        yield from (WordBlock(title, lines, boxed) for title, lines, boxed in parts if lines)
    for way in join.ways:
        if way.answer == "no":
            yield WordBlock(f"Not {WAY_WORDS[way.name]}, because", way.reasons)
        elif way is not best:
            yield WordBlock(f"Or {WAY_WORDS[way.name]} ({way.answer}): {way.level}", _other(way))
    if join.geometry.lines():
        yield WordBlock("Heights and throw", join.geometry.lines())


def _other(way: Way) -> tuple[str, ...]:
    """A way that is not the best, in short."""
    return (*(f"only if {words}" for words in way.conditions), *way.equipment, *way.changes, *way.restrictions)


def _pins(match: WireMatch, join: JoinResult) -> PinTable:
    verdict = wire_words(match, join.first, join.second)
    if match.verdict == "nothing to join":
        return PinTable(verdict, (), (join.first, join.second), ())
    electric = is_electric(join.best.level)
    rows = tuple((line.pin, line.first or "–", line.second or "–", pin_words(match, line, electric)) for line in match.lines)
    return PinTable(verdict, function_lines(match, join.first, join.second, electric), (join.first, join.second), rows)
