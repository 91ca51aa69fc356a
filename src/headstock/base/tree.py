"""Building a document's content from marks in the text, with its lines, refusing what would have to be guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, Literal

from headstock.base.errors import Fault
from headstock.base.located import DocumentPath, Lines, path_text, shown
from headstock.base.scalars import RefusedScalar, plain_scalar

DEEPEST_NESTING = 40
MOST_FAULTS = 100

# In keys nothing unprintable is wanted; in values a line end and a tab are fine.
_BAD_IN_KEY = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")
_BAD_IN_VALUE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing met in the text, top to bottom. `plain` is an unquoted word."""

    kind: Literal["group", "list", "close", "word", "alias"]
    line: int
    text: str = ""
    plain: bool = False
    anchor: str | None = None
    tag: str | None = None


class TooDeep(Exception):
    """Nesting passed the limit: nothing after it is worth reading."""


class _Dropped:
    """Stands for a refused key: what follows it is read for faults, and not kept."""


@dataclass(slots=True)
class _Frame:
    holds: dict[str, Any] | list[Any]
    lines: Lines
    key: str | type[_Dropped] | None = None
    key_line: int = 0
    step: str | int | None = None  # where reading stands in this frame, for the path of a fault
    first_seen: dict[str, int] = field(default_factory=dict)


class TreeBuilder:
    """Takes marks one at a time and keeps the value, the lines and the faults met so far."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.value: Any = None
        self.lines = Lines(1)
        self.started = False
        self.faults: list[Fault] = []
        self._frames: list[_Frame] = []

    @property
    def has_enough_faults(self) -> bool:
        """Whether reading on would only lengthen a list nobody reads to its end."""
        return len(self.faults) >= MOST_FAULTS

    def add(self, mark: Mark) -> None:
        """Take the next mark; raises `TooDeep` past the nesting limit."""
        if mark.kind == "close":
            self._frames.pop()
            return
        frame = self._frames[-1] if self._frames else None
        is_key = frame is not None and isinstance(frame.holds, dict) and frame.key is None
        if frame is not None and (is_key or isinstance(frame.holds, list)):
            frame.step = None if is_key else len(frame.holds)
        self._refuse_shorthand(mark)
        if frame is not None and is_key:
            self._take_key(frame, mark)
        else:
            self._take_value(frame, mark)
        self.started = True

    def _take_value(self, frame: _Frame | None, mark: Mark) -> None:
        if mark.kind in ("group", "list"):
            new = self._open(mark)
            self._attach(frame, new.holds, new.lines, mark)
            self._frames.append(new)
        else:
            value = self._word(mark) if mark.kind == "word" else None
            self._attach(frame, value, mark.line, mark)

    def _attach(self, frame: _Frame | None, value: Any, lines: int | Lines, mark: Mark) -> None:
        if frame is None:
            self.value = value
            self.lines = lines if isinstance(lines, Lines) else Lines(mark.line)
            return
        if isinstance(frame.holds, list):
            frame.lines.inside[len(frame.holds)] = lines
            frame.holds.append(value)
            return
        if isinstance(frame.key, str):
            if isinstance(lines, Lines):
                lines.line = frame.key_line
            frame.lines.inside[frame.key] = lines if isinstance(lines, Lines) else frame.key_line
            frame.holds[frame.key] = value
        frame.key = None

    def _open(self, mark: Mark) -> _Frame:
        if len(self._frames) >= DEEPEST_NESTING:
            self._fault("nested too deep", mark.line, found="one more level", expected=f"at most {DEEPEST_NESTING}")
            raise TooDeep
        return _Frame({} if mark.kind == "group" else [], Lines(mark.line))

    def _take_key(self, frame: _Frame, mark: Mark) -> None:
        frame.key, frame.key_line = _Dropped, mark.line
        if mark.kind in ("group", "list"):
            self._fault("name is not text", mark.line, found=f"a {mark.kind} as a name", expected="text before the colon")
            self._frames.append(self._open(mark))
            return
        if mark.kind == "alias" or not self._is_good_key(mark):
            return
        assert isinstance(frame.holds, dict)
        first = frame.first_seen.setdefault(mark.text, mark.line)
        if mark.text in frame.holds:
            what = f"name written twice, on lines {first} and {mark.line}"
            self._fault(what, mark.line, found=f"{shown(mark.text)} again", expected="each name once", key=mark.text)
        else:
            frame.key = frame.step = mark.text

    def _is_good_key(self, mark: Mark) -> bool:
        value = plain_scalar(mark.text) if mark.plain else mark.text
        if not isinstance(value, str) or not value:
            found = shown(mark.text) if mark.text else "nothing"
            cure = f'text; put it in quotes: "{mark.text[:40]}"' if mark.text else "text before the colon"
            self._fault("name is not text", mark.line, found=found, expected=cure)
            return False
        if bad := _BAD_IN_KEY.search(value):
            self._fault("control character in a name", mark.line, found=_code(bad), expected="letters and figures")
            return False
        return True

    def _word(self, mark: Mark) -> Any:
        if mark.plain:
            value = plain_scalar(mark.text)
            if isinstance(value, RefusedScalar):
                self._fault(value.what, mark.line, found=shown(mark.text), expected=value.expected)
                return None
            return value
        if bad := _BAD_IN_VALUE.search(mark.text):
            self._fault("control character", mark.line, found=_code(bad), expected="printable text")
        return mark.text

    def _refuse_shorthand(self, mark: Mark) -> None:
        if mark.kind == "alias":
            found = f"*{mark.anchor}"
            self._fault("shorthand for an earlier part", mark.line, found=found, expected="the part itself; write it out")
        elif mark.anchor is not None:
            found = f"&{mark.anchor}"
            self._fault("mark for later reuse", mark.line, found=found, expected="the part without it; write it out")
        if mark.tag is not None:
            self._fault("type tag", mark.line, found=shown(mark.tag), expected="the plain value; write it out")

    def _fault(self, what: str, line: int, *, found: str, expected: str, key: str | None = None) -> None:
        path = self._path() + ((key,) if key is not None else ())
        self.faults.append(Fault(what, self.name, line, path_text(path), found, expected))

    def _path(self) -> DocumentPath:
        return tuple(frame.step for frame in self._frames if frame.step is not None)


def _code(match: re.Match[str]) -> str:
    return f"U+{ord(match.group()):04X}"
