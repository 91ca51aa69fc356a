"""Words by which entries are found: small letters, names whole and in parts."""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST = 120
UNIT = re.compile(r"([^/.\s]+)[/.]")


def terms_of(words: Iterable[str]) -> tuple[str, ...]:
    """Each once, in small letters, in order."""
    return tuple(sorted({word.casefold().strip()[:LONGEST] for word in words if word.strip()}))


def word_terms(*texts: str) -> list[str]:
    """Each text whole, and its words of two signs or more."""
    return [term for text in texts for term in (text, *(word for word in re.findall(r"[^\W_]+", text) if len(word) > 1))]


def name_key(name: object) -> str:
    """A person's name as it is compared: spaces around it and capitals are no matter."""
    return str(name).strip().casefold()


def unit_of(device: str) -> str:
    """The unit in a device's key, `217/2.brake_pipe_cock`; "" where there is none."""
    found = UNIT.match(device)
    return found[1] if found else ""
