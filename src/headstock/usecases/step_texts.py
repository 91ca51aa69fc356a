"""How well a written line fits a known step: shared words by weight, names and figures exact, opposites apart.

The score is twice the weight of the words shared over the weight of the words of both (1: the same words). A word that few
steps use weighs up to twice one that all use.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log

from headstock.reasoning.step import Step
from headstock.usecases.line_words import Said, WordReader, is_name_like, plain

OPPOSED = 0.4
"""What is left of a score where the line says the opposite."""
LEFT_OVER = 0.8
"""What is left of a score where the line says words of other steps besides."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A step with its score for a line, and what speaks against taking it for sure.

    ``covers``: whether it says all that the line says, as far as steps say it at all.
    """

    step: Step
    score: float
    against: tuple[str, ...] = ()
    covers: bool = True


@dataclass(frozen=True, slots=True)
class _Texts:
    step: Step
    ways: tuple[Said, ...]


def ways_to_say(step: Step) -> tuple[str, ...]:
    """All texts that stand for a step on a sheet or in an instruction: its sentence, its short one, both heads."""
    head, _, rest = step.key.partition(": ")
    texts = [step.key]
    if step.brief:
        texts += [step.brief, f"{head}: {step.brief}"] if rest else [step.brief]
    return tuple(texts)


class StepTexts:
    """The steps of a job as texts."""

    def __init__(self, steps: Iterable[Step], reader: WordReader) -> None:
        self.reader = reader
        self.texts = tuple(_Texts(step, tuple(reader.read(text) for text in ways_to_say(step))) for step in steps)
        counts = Counter(token for texts in self.texts for token in frozenset().union(*(way.tokens for way in texts.ways)))
        most = log(max(2, len(self.texts)))
        self.weights: Mapping[str, float] = {
            token: 1.0 if token[0] == "#" else 1 + log(len(self.texts) / count) / most for token, count in counts.items()
        }

    def exact(self, text: str, role: str) -> tuple[Step, ...]:
        """Steps that this very text stands for."""
        wanted = plain(text)
        return tuple(
            texts.step for texts in self.texts
            if role in ("", texts.step.role) and any(way.plain == wanted for way in texts.ways)
        )  # fmt: skip

    def ranked(self, text: str, role: str) -> tuple[Candidate, ...]:
        """Steps by falling score; those of which the line names another unit, end or figure are left out."""
        line = self.reader.read(text)
        found = [self._candidate(line, texts) for texts in self.texts if role in ("", texts.step.role)]
        return tuple(sorted((one for one in found if one is not None), key=lambda one: -one.score))

    def shape(self, step: Step) -> tuple[str, ...]:
        """A step's sentence without the names in it: steps of one shape differ in the unit or end alone."""
        return tuple("#" if token.startswith("#") else token for token in self.reader.read(step.key).ordered)

    def _candidate(self, line: Said, texts: _Texts) -> Candidate | None:
        all_names = tuple(name for way in texts.ways for name in way.names)
        figures = frozenset().union(*(way.figures for way in texts.ways))
        strange = line.figures - figures
        if any(name not in all_names for name in line.names) or any(is_name_like(figure) for figure in strange):
            return None
        ways = [way for way in texts.ways if bool(way.negations) == bool(line.negations)]
        if not ways:
            return None
        way = max(ways, key=lambda way: self._score(line, way))
        score, against = self._score(line, way), []
        if line.negations != way.negations:
            against.append(f"it says '{min(line.negations)}' otherwise than the step")
        opposed = self.reader.opposed(line, way)
        if opposed is not None:
            score *= OPPOSED
            against.append(f"'{opposed}' is the opposite of what the step says")
        if strange:
            against.append(f"the step has no {', '.join(sorted(strange))}")
        left_over = self._left_over(line, texts)
        if left_over:
            score *= LEFT_OVER
            against.append(f"the step does not say '{left_over[0]}'")
        if line.conditions - way.conditions:
            against.append("it is put off to another time, or made to depend on something")
        if len(line.names) > 1 and tuple(name for name in way.names if name in line.names) != line.names:
            against.append("the ends stand in another order")
        return Candidate(texts.step, score, tuple(against), not left_over)

    def _left_over(self, line: Said, texts: _Texts) -> list[str]:
        """Words of the line that other steps use and this one does not."""
        own = frozenset().union(*(way.tokens for way in texts.ways))
        over = line.tokens - own - self.reader.small
        return sorted(token for token in over if token in self.weights and token[0] not in "#=")

    def _score(self, line: Said, way: Said) -> float:
        shared, own = self._weight(line.tokens & way.tokens), self._weight(line.tokens) + self._weight(way.tokens)
        return 2 * shared / own if own else 0.0

    def _weight(self, tokens: frozenset[str]) -> float:
        # A word that no step uses weighs as much as one of which there is a single step.
        return sum(self.weights.get(token, 2.0) for token in tokens)
