"""What a document names, read one by one; every fault is kept, told where the name stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from headstock.base.errors import Fault, InputError
from headstock.base.located import Document, DocumentPath, path_text

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Named:
    """The faults of what a document names so far."""

    document: Document
    faults: list[Fault] = field(default_factory=list)

    def read(self, name: str, at: DocumentPath, how: Callable[[], T]) -> T | None:
        """What is read under a name that stands at a place of the document; None where it has faults, which are kept.

        A fault that has a file of its own is told there, any other where the name stands.
        """
        try:
            return how()
        except InputError as error:
            self.faults.extend(fault if fault.file else self._here(fault, at, name) for fault in error.faults)
            return None

    def _here(self, fault: Fault, at: DocumentPath, name: str) -> Fault:
        line = self.document.line_of(at)
        return replace(fault, file=self.document.name, line=line, path=path_text(at), found=fault.found or name)
