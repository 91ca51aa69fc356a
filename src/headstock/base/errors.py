"""The error tree: everything Headstock raises on purpose.

    HeadstockError                       exit  code
    ├── InputError                        2    bad-input
    │   ├── FileError                     2    file-unreadable    not there, a folder, too large, not UTF-8
    │   ├── NotationError                 2    file-notation      not YAML or JSON, or a part of it that Headstock refuses
    │   ├── HeaderError                   2    file-header        another kind or version of file than asked for
    │   ├── ContentError                  2    file-content       readable, but fields are missing, unknown or wrong
    │   └── QuantityError                 2    bad-quantity       "72 pis", "1 in 0", a pressure below nothing
    ├── OutsideModelError                 3    outside-model      a question the model has no answer for
    ├── NotFoundWithinBudgetError         3    not-found-within-budget
    └── StorageError                      3    storage            records cannot be read or written: full, locked, damaged

"These cannot be joined" is not in the tree: that is an answer with its reasons, never an error.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from typing import Any, ClassVar


def one_line(text: str) -> str:
    """`text` with line ends and whatever else does not print written as escapes, safe to show anywhere."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode("ascii") for sign in text)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input: what, where it stands, what was found and what was expected instead."""

    what: str
    file: str = ""
    line: int | None = None
    path: str = ""
    found: str | None = None
    expected: str | None = None
    nearest: str | None = None

    def text(self) -> str:
        """One line, "what @ file:line path: found X, expected Y; nearest Z", without the parts it lacks."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        place = " ".join(part for part in (place, self.path) if part)
        head = f"{self.what} @ {place}" if place else self.what
        pairs = (("found", self.found), ("expected", self.expected))
        tail = ", ".join(f"{word} {value}" for word, value in pairs if value is not None)
        if self.nearest is not None:
            tail = f"{tail}; nearest {self.nearest}" if tail else f"nearest {self.nearest}"
        return one_line(f"{head}: {tail}" if tail else head)

    def as_json(self) -> dict[str, str | int | None]:
        """The fault as plain values; every key is always there."""
        return asdict(self)


class HeadstockError(Exception):
    """Anything Headstock refuses on purpose: a stable code, what, where, why, the cure, and the exit status."""

    code: ClassVar[str] = "headstock"
    exit_status: ClassVar[int] = 3

    def __init__(self, what: str, *, where: str = "", why: str = "", cure: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.why = why
        self.cure = cure

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The single faults behind the error; empty unless it is an `InputError`."""
        return ()

    def __str__(self) -> str:
        return self.what

    def text(self) -> str:
        """The whole error for a person, on as many lines as it needs: what, each fault, why, the cure."""
        lines = [self.what if one_line(self.where) in self.what else f"{self.what} @ {self.where}"]
        if len(self.faults) > 1:
            lines += [f"  {fault.text()}" for fault in self.faults]
        lines += [part for part in (self.why, self.cure) if part]
        return "\n".join(one_line(line) for line in lines)

    def as_json(self) -> dict[str, Any]:
        """The error as plain values; one shape for every error, on the command line and on the page."""
        return {
            "error": {
                "code": self.code,
                "message": self.what,
                "where": self.where,
                "why": self.why,
                "cure": self.cure,
                "faults": [fault.as_json() for fault in self.faults],
            }
        }

    def __reduce__(self) -> tuple[Any, ...]:
        # Errors cross process borders in parallel runs; plain exceptions would lose their keyword arguments there.
        return _bring_back, (type(self), self.args, self.__dict__)


class InputError(HeadstockError):
    """What came in is not usable; holds every fault found, not the first one only."""

    code = "bad-input"
    exit_status = 2

    def __init__(
        self, faults: Iterable[Fault] | Fault, *, what: str = "", where: str = "", why: str = "", cure: str = ""
    ) -> None:
        found = (faults,) if isinstance(faults, Fault) else tuple(faults)
        if not found:
            raise ValueError("an InputError needs at least one fault")
        self._faults = found
        super().__init__(what or _headline(found), where=where or _place(found), why=why, cure=cure)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of the input, in the order of its lines."""
        return self._faults

    def __str__(self) -> str:
        return "\n".join([self.what, *(f"  {fault.text()}" for fault in self._faults if len(self._faults) > 1)])


class FileError(InputError):
    """A file that could not be read as text at all."""

    code = "file-unreadable"


class NotationError(InputError):
    """A file that is not YAML (or JSON where that is asked for), or uses a part of it that Headstock refuses."""

    code = "file-notation"


class HeaderError(InputError):
    """A file of another kind or version than the one asked for, or without its first line."""

    code = "file-header"


class ContentError(InputError):
    """A readable file with fields missing, unknown or wrong."""

    code = "file-content"


class QuantityError(InputError):
    """A number with its unit that cannot be read or has no meaning."""

    code = "bad-quantity"


class OutsideModelError(HeadstockError):
    """The question lies outside what the model was made for; no answer is better than a wrong one."""

    code = "outside-model"
    exit_status = 3


class NotFoundWithinBudgetError(HeadstockError):
    """Nothing was found in the time or number of tries allowed; that is not a proof that nothing exists."""

    code = "not-found-within-budget"
    exit_status = 3


class StorageError(HeadstockError):
    """Records cannot be read or written just now; whatever was acknowledged before is untouched."""

    code = "storage"
    exit_status = 3

    def for_others(self) -> StorageError:
        """The same for whoever is not at the server: what and the cure, neither the place nor what the database said."""
        cure = f"{self.cure} If it stays so, tell whoever looks after the server: its own log says more."
        return StorageError(self.what.partition(" @ ")[0], cure=cure.strip())


def error_classes() -> Iterator[type[HeadstockError]]:
    """Every class of the tree, parents first; the page of errors in the documentation is checked against it."""
    waiting: list[type[HeadstockError]] = [HeadstockError]
    while waiting:
        here = waiting.pop(0)
        yield here
        waiting += here.__subclasses__()


def _bring_back(kind: type[HeadstockError], args: tuple[Any, ...], state: dict[str, Any]) -> HeadstockError:
    error = kind.__new__(kind, *args)
    error.args = args
    error.__dict__.update(state)
    return error


def _headline(faults: tuple[Fault, ...]) -> str:
    if len(faults) == 1:
        return faults[0].text()
    files = sorted({fault.file for fault in faults if fault.file})
    return one_line(f"{len(faults)} faults" + (f" in {', '.join(files)}" if files else ""))


def _place(faults: tuple[Fault, ...]) -> str:
    first = faults[0]
    return first.file if first.line is None or len(faults) > 1 else f"{first.file}:{first.line}"
