"""Reading of JSON files: the same documents with lines, and the same refusals, as `documents` gives for YAML.

The YAML reader itself will not do: JSON may be indented by tabs, may write a character as two escapes, and may hold a list
at its top. Whether the text is JSON is left to the library; lines, repeated names and depth come from the marks in it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from headstock.base.documents import printable_text, read_text
from headstock.base.errors import Fault, NotationError
from headstock.base.located import Document, Lines, shown
from headstock.base.tree import DEEPEST_NESTING, Mark, TooDeep, TreeBuilder

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[\[\]{}:,]|[-+.\w]+|\s+')
_KINDS: Final = {"{": "group", "[": "list", "}": "close", "]": "close"}
_NOT_FINITE: Final = ("NaN", "Infinity", "-Infinity")
# First match wins. Left: a piece of what the library says; right: what belongs there.
_WORDS: Final = (
    ("property name", "a name in double quotes, and no comma before a }"),
    ("':'", "a colon after the name"),
    ("','", "a comma between two parts, or the closing bracket"),
    ("Extra data", "nothing after the first value"),
    ("Unterminated", "a closing double quote"),
    ("control character", "line ends and tabs inside text written as \\n and \\t"),
    ("escape", "a backslash sequence that JSON knows, such as \\n or \\u00b0"),
)


@dataclass(frozen=True, slots=True)
class JsonFile:
    """The objects of a file, and whether they stood in a list."""

    name: str
    documents: tuple[Document, ...]
    is_list: bool


def read_json(path: Path) -> JsonFile:
    """The objects in the file at `path`; raises `FileError` as `read_text` does, else as `json_from_text`."""
    return json_from_text(read_text(path), str(path))


def json_from_text(text: str, name: str) -> JsonFile:
    """The object, or the list of objects, written in `text`; raises `NotationError` with every fault found."""
    text = printable_text(text, name)
    if not text.strip():
        raise NotationError(Fault("the file is empty", name, expected="a JSON object, or a list of them"))
    _check_notation(text, name)
    tree = _JsonTree(name)
    try:
        for mark in _marks(text):
            tree.add(mark)
            if tree.has_enough_faults:
                break
    except TooDeep:
        pass
    if tree.faults:
        raise NotationError(tree.faults)
    return _objects(tree, name)


class _JsonTree(TreeBuilder):
    """The same tree, where a word may also be one of the three that JSON writers add to JSON."""

    def _word(self, mark: Mark) -> Any:
        if mark.plain and mark.text in _NOT_FINITE:
            self._fault("not a finite number", mark.line, found=mark.text, expected="a finite number")
            return None
        return super()._word(mark)


def _check_notation(text: str, name: str) -> None:
    try:
        # Numbers are read later: turning a long row of figures into one takes long, or fails.
        json.loads(text, parse_int=len, parse_float=len)
    except json.JSONDecodeError as error:
        lines = text.split("\n")
        there = lines[error.lineno - 1][error.colno - 1 : error.colno + 19]
        found = f"{shown(there) if there else 'the end of the line'} in column {error.colno}"
        expected = next((cure for piece, cure in _WORDS if piece in error.msg), "a value: text, number, object or list")
        raise NotationError(Fault("not written as JSON", name, error.lineno, found=found, expected=expected)) from None
    except RecursionError:
        raise NotationError(Fault("nested too deep", name, expected=f"at most {DEEPEST_NESTING} levels")) from None


def _marks(text: str) -> Iterator[Mark]:
    line = 1
    for match in _TOKEN.finditer(text):
        token = match[0]
        if token.isspace():
            line += token.count("\n")
        elif token in _KINDS:
            yield Mark(_KINDS[token], line)  # type: ignore[arg-type]
        elif token[0] == '"':
            yield Mark("word", line, json.loads(token))
        elif token not in ":,":
            yield Mark("word", line, token, plain=True)


def _objects(tree: TreeBuilder, name: str) -> JsonFile:
    if isinstance(tree.value, dict):
        return JsonFile(name, (Document(tree.value, name, tree.lines),), False)
    if not isinstance(tree.value, list) or not tree.value:
        found = shown(tree.value)
        raise NotationError(Fault("no JSON object", name, tree.lines.line, found=found, expected="an object, or a list of them"))
    documents, faults = [], []
    for number, value in enumerate(tree.value):
        lines = tree.lines.inside[number]
        if isinstance(value, dict) and isinstance(lines, Lines):
            documents.append(Document(value, name, lines))
        else:
            line = lines.line if isinstance(lines, Lines) else lines
            faults.append(Fault("not a JSON object", name, line, f"[{number}]", shown(value), "an object"))
    if faults:
        raise NotationError(faults)
    return JsonFile(name, tuple(documents), True)
