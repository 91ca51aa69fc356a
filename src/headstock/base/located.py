"""A file's content together with the line each part of it was written on."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

DocumentPath = tuple[str | int, ...]

LONGEST_PATH = 120
_PLAIN_KEY = re.compile(r"[\w-]+")


@dataclass(slots=True)
class Lines:
    """Line of a mapping or list, and of what it holds: a number for a plain value, `Lines` for what holds more."""

    line: int
    inside: dict[str | int, int | Lines] = field(default_factory=dict)


@dataclass(frozen=True)
class Document:
    """One file as read: plain dicts, lists, text, numbers, true, false and null; `line_of` says where each was written.

    `value` is a mapping with text keys only. Lines count from 1, as editors do.
    """

    value: dict[str, Any]
    name: str
    lines: Lines = field(repr=False)

    def line_of(self, path: DocumentPath) -> int:
        """Line of the value at `path`, or of its nearest ancestor that is in the file."""
        here: int | Lines = self.lines
        for part in path:
            if not isinstance(here, Lines) or part not in here.inside:
                break
            here = here.inside[part]
        return here.line if isinstance(here, Lines) else here

    def without(self, *keys: str) -> Document:
        """The same document without some top-level keys; lines stay as they were."""
        return Document({key: value for key, value in self.value.items() if key not in keys}, self.name, self.lines)


def path_text(path: DocumentPath) -> str:
    """`("ends", "1", "devices", 3)` as people read it: `ends.1.devices[3]`, items from 0; long ones are cut."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            key = part if _PLAIN_KEY.fullmatch(part) else shown(part, 40)
            text += f".{key}" if text else key
        if len(text) > LONGEST_PATH:
            return text[: LONGEST_PATH - 1] + "…"
    return text


def shown(value: object, limit: int = 60) -> str:
    """A short look at `value` as it would be written in a file, cut at `limit` characters."""
    if value is None:
        return "nothing (null)"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        names = ", ".join(str(key)[:limit] for key in list(value)[:8])
        text = f"a group with {names}" if value else "an empty group {}"
    elif isinstance(value, list):
        text = f"a list of {len(value)}" if value else "an empty list []"
    elif isinstance(value, str):
        text = f"'{value[: limit + 1]}'"
    else:
        text = repr(value)
    return text if len(text) <= limit else text[: limit - 1] + "…"
