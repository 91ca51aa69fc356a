"""Reading of files: the only place that reads YAML. A file becomes a `Document` or an `InputError` with all its faults.

The text is read mark by mark, so depth, anchors and repeated names are refused before anything is built from them.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import yaml

from headstock.base.errors import Fault, FileError, NotationError
from headstock.base.loading import check_header, kind_of, load_as
from headstock.base.located import Document, DocumentPath, path_text, shown
from headstock.base.tree import Mark, TooDeep, TreeBuilder
from headstock.base.yaml_words import plain_words

__all__ = [
    "Document", "DocumentPath", "check_header", "document_from_text", "kind_of", "load_as", "path_text", "printable_text",
    "read_document", "read_text",
]  # fmt: skip

LARGEST_FILE_BYTES: Final = 1_000_000

# The C parser is twenty times quicker; the other one says the same things and is there where C is not.
_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
# Line separators are refused too: editors do not count them as lines, the parser does.
_REFUSED_CHARACTER = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")


def is_file(path: Path) -> bool:
    """Whether there is such a file; a name that no file can have, as one of 500 letters, is none."""
    try:
        return path.is_file()
    except OSError:
        return False


def read_document(path: Path) -> Document:
    """The file at `path`; raises as `read_text`, then as `document_from_text`."""
    return document_from_text(read_text(path), str(path))


def read_text(path: Path) -> str:
    """The text of the file at `path`; raises `FileError` if it is not UTF-8 text of at most 1 MB."""
    name = str(path)
    try:
        if path.is_dir():
            raise FileError(Fault("this is a folder", name, expected="a file"))
        with path.open("rb") as file:
            # One byte more than allowed is enough to know; an endless device is never read to its end.
            content = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise FileError(Fault("no such file", name, nearest=_neighbour(path))) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError(Fault(f"file cannot be read ({reason.lower()})", name)) from None
    if len(content) > LARGEST_FILE_BYTES:
        raise _too_large(name)
    return _decoded(content, name)


def document_from_text(text: str, name: str) -> Document:
    """The document written in `text`, called `name` in messages; raises `NotationError` with every fault found."""
    if len(text) > LARGEST_FILE_BYTES or len(text.encode("utf-8", "surrogatepass")) > LARGEST_FILE_BYTES:
        raise _too_large(name)
    text = printable_text(text, name)
    tree = TreeBuilder(name)
    _grow(tree, text)
    if tree.faults:
        raise NotationError(tree.faults)
    if not tree.started:
        expected = "a line like 'headstock: job 1', then its content"
        raise NotationError(Fault("the file is empty", name, expected=expected))
    if not isinstance(tree.value, dict):
        what, expected = "the file is not a group of names", "lines of the form 'name: value'"
        found = "a list" if isinstance(tree.value, list) else "a single value"
        raise NotationError(Fault(what, name, tree.lines.line, found=found, expected=expected))
    return Document(tree.value, name, tree.lines)


def printable_text(text: str, name: str) -> str:
    """`text` with plain line ends and no mark of byte order; raises `NotationError` for a control character."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if bad := _REFUSED_CHARACTER.search(text):
        line, column = _line_and_column(text, bad.start())
        found = f"U+{ord(bad.group()):04X} in column {column}"
        raise NotationError(Fault("control character", name, line, found=found, expected="printable text"))
    return text


def _grow(tree: TreeBuilder, text: str) -> None:
    marks = _marks(tree, text)
    try:
        for mark in marks:
            tree.add(mark)
            if tree.has_enough_faults:
                return
    except TooDeep:
        return
    except yaml.YAMLError as error:
        tree.faults.append(_not_yaml(error, text, tree.name))


def _marks(tree: TreeBuilder, text: str) -> Iterator[Mark]:
    documents = 0
    for event in yaml.parse(text, Loader=_LOADER):
        assert event.start_mark is not None
        line = event.start_mark.line + 1
        match event:
            case yaml.DocumentStartEvent():
                documents += 1
                if documents > 1:
                    fault = Fault("a second document", tree.name, line, found="'---'", expected="one per file")
                    tree.faults.append(fault)
                    return
                if event.version or event.tags:
                    found, expected = "a line beginning with %", "no such line"
                    tree.faults.append(Fault("YAML directive", tree.name, line, found=found, expected=expected))
            case yaml.ScalarEvent():
                # An explicit tag makes a word neither plain nor quoted; it is refused anyway.
                yield Mark("word", line, event.value, event.style in (None, ""), event.anchor, event.tag)
            case yaml.AliasEvent():
                yield Mark("alias", line, anchor=event.anchor)
            case yaml.MappingStartEvent():
                yield Mark("group", line, anchor=event.anchor, tag=event.tag)
            case yaml.SequenceStartEvent():
                yield Mark("list", line, anchor=event.anchor, tag=event.tag)
            case yaml.CollectionEndEvent():
                yield Mark("close", line)


def _not_yaml(error: yaml.YAMLError, text: str, name: str) -> Fault:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    lines = text.split("\n")
    row = min(mark.line, len(lines) - 1) if mark is not None else 0
    column = mark.column if mark is not None else 0
    there = lines[row][column : column + 20]
    problem, context = (str(getattr(error, part, None) or "") for part in ("problem", "context"))
    what, expected = plain_words(problem, context, there[:1])
    found = f"{shown(there) if there else 'the end of the line'} in column {column + 1}"
    return Fault(what, name, row + 1, found=found, expected=expected)


def _decoded(content: bytes, name: str) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        found = f"byte 0x{content[error.start]:02x} at offset {error.start}"
        fault = Fault("not UTF-8 text", name, before.count(b"\n") + 1, found=found, expected="a file saved as UTF-8")
        raise FileError(fault) from None


def _line_and_column(text: str, offset: int) -> tuple[int, int]:
    before = text[:offset]
    return before.count("\n") + 1, offset - (before.rfind("\n") + 1) + 1


def _too_large(name: str) -> FileError:
    return FileError(Fault("file too large", name, found="more than 1 MB", expected="at most 1 MB (1,000,000 bytes)"))


def _neighbour(path: Path) -> str | None:
    try:
        beside = [entry.name for entry in path.parent.iterdir()]
    except (OSError, ValueError):
        return None
    close = difflib.get_close_matches(path.name, beside, n=1)
    return str(path.with_name(close[0])) if close else None
