"""The caution that stands over everything: in the terminal's help, over an order of work, on every sheet."""

from __future__ import annotations

from collections.abc import Iterable

STANDING_CAUTION = (
    "A planning and training aid. The rule book, local instructions, the maintainer's documents and the person in charge "
    "on the ground come first."
)


def invented_words(parts: Iterable[bool]) -> str:
    """What is said of data that are made up, by whether each part of them is; "" where none is."""
    found = list(parts)
    if all(found):
        return "All invented for demonstration."
    return "Some of it is invented for demonstration." if any(found) else ""
