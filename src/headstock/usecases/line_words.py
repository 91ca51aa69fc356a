"""Written words made comparable: one token for all ways of saying a thing, names of units and ends kept exact."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from headstock.usecases.trade_words import TradeWords

_PIECE = re.compile(r"\d+(?:[.,]\d+)*(?:/\w+)?|[^\W\d_]+(?:-[^\W\d_]+)*")
_NAME, _FIGURE = "#", "="
_LONGEST_PHRASE = 5


@dataclass(frozen=True, slots=True)
class Said:
    """A text in tokens: all in order, those that carry meaning, names as written, figures, negations, conditions."""

    plain: str
    tokens: frozenset[str]
    ordered: tuple[str, ...]
    names: tuple[str, ...]
    figures: frozenset[str]
    negations: frozenset[str]
    conditions: frozenset[str]


class WordReader:
    """Reads texts about one job; ``names`` are its units, ends and vehicles."""

    def __init__(self, words: TradeWords, names: Iterable[str]) -> None:
        known = sorted({name.casefold() for name in names}, key=len, reverse=True)
        inner = "|".join(re.escape(name) for name in known) or r"(?!)"
        self._names = re.compile(rf"(?<![\w/.])(?:{inner})(?![\w/]|[.,]\d)")
        self._phrases: dict[tuple[str, ...], str] = {}
        for meaning, ways in words.same.items():
            for way in (meaning, *ways):
                self._phrases[tuple(map(stem, _pieces(way)))] = meaning
        self._idle = {stem(word) for word in words.idle}
        self._negations = frozenset(stem(word) for word in words.negations)
        self._conditions = frozenset(token for word in words.conditions for token in self._tokens(word))
        self.small = frozenset(token for word in words.small for token in self._tokens(word))
        self._opposites: dict[str, set[str]] = {}
        for first, second in words.opposites:
            (one,), (other,) = self._tokens(first)[:1], self._tokens(second)[:1]
            self._opposites.setdefault(one, set()).add(other)
            self._opposites.setdefault(other, set()).add(one)

    def read(self, text: str) -> Said:
        """A text in tokens."""
        ordered = self._tokens(text)
        meant = [token for token in ordered if token not in self._idle]
        return Said(
            plain=plain(text),
            tokens=frozenset(meant) - self._negations,
            ordered=tuple(meant),
            names=tuple(token[1:] for token in ordered if token.startswith(_NAME)),
            figures=frozenset(token[1:] for token in ordered if token.startswith(_FIGURE)),
            negations=frozenset(ordered) & self._negations,
            conditions=frozenset(ordered) & self._conditions,
        )

    def opposed(self, line: Said, step: Said) -> str | None:
        """A word of the line whose opposite the step says, where the step does not say the word itself."""
        for token in sorted(line.tokens - step.tokens):
            if self._opposites.get(token, set()) & (step.tokens - line.tokens):
                return token
        return None

    def _tokens(self, text: str) -> list[str]:
        pieces: list[str] = []
        rest, at = _folded(text), 0
        for name in self._names.finditer(rest):
            pieces += map(stem, _pieces(rest[at : name.start()]))
            pieces.append(_NAME + name[0])
            at = name.end()
        pieces += map(stem, _pieces(rest[at:]))
        return self._grouped(pieces)

    def _grouped(self, pieces: list[str]) -> list[str]:
        """The longest known group of words first."""
        found, at = [], 0
        while at < len(pieces):
            for length in range(min(_LONGEST_PHRASE, len(pieces) - at), 0, -1):
                meaning = self._phrases.get(tuple(pieces[at : at + length]))
                if meaning is not None:
                    found.append(meaning)
                    at += length
                    break
            else:
                found.append(pieces[at])
                at += 1
        return found


def plain(text: str) -> str:
    """A text as it is compared word for word: small letters, single spaces, no stop at the end."""
    return " ".join(_folded(text).split()).strip(" .;,")


def is_name_like(figure: str) -> bool:
    """Whether a figure is written like a unit's end."""
    return "/" in figure


def _folded(text: str) -> str:
    return text.casefold().replace("’", "").replace("'", "")


def _pieces(text: str) -> list[str]:
    found = _PIECE.findall(_folded(text))
    return [_FIGURE + piece.replace(",", ".") if piece[0].isdigit() else piece for piece in found]


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """A word without the endings of its forms: opened, opens, opening are open."""
    if len(word) <= 3 or word[0] in (_FIGURE, _NAME):
        return word
    if word.endswith("s") and not word.endswith(("ss", "us")):
        word = word[:-1]
    for ending in ("ing", "ed"):
        base = word.removesuffix(ending)
        if base != word and len(base) >= 3:
            doubled = len(base) > 3 and base[-1] == base[-2] and base[-1] not in "ls"
            word = base[:-1] if doubled else base
            break
    return word.removesuffix("e") if len(word) > 3 else word
