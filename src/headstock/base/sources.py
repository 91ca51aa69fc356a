"""Where a number comes from: every safety-relevant value in a file names a source, and the file lists its sources."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.errors import Fault
from headstock.base.located import Document, DocumentPath, path_text, shown
from headstock.base.nearest import nearest_of

SourceStatus = Literal["read", "second-hand", "from memory", "common practice", "computed", "invented"]
SOURCE_STATUSES: tuple[str, ...] = get_args(SourceStatus)

T = TypeVar("T")


class Source(BaseModel):
    """One source: what it is, which edition, and how it is known."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    text: str = Field(min_length=1, description="the document with its clause, or whose word it is")
    edition: str = Field(min_length=1, description="its edition or date, `none` where there is none")
    status: SourceStatus = Field(description="how it is known")


class Entry(BaseModel, Generic[T]):
    """A value together with the key of its source in the `sources` of the same file."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    value: T
    source: str = Field(min_length=1)

    def __reduce__(self) -> tuple[Any, ...]:
        """To another process without its type parameter, by which a class cannot be found again."""
        return _entry_again, (self.value, self.source)


def _entry_again(value: object, source: str) -> Entry[Any]:
    return Entry.model_construct(value=value, source=source)


@dataclass(frozen=True)
class SourceCheckResult:
    """Places whose source is not listed, with the key they name, and listed sources nothing names."""

    missing: tuple[tuple[DocumentPath, str], ...]
    unused: tuple[str, ...]

    @property
    def is_complete(self) -> bool:
        """Whether every source named is listed."""
        return not self.missing

    def faults(self, document: Document, sources: Mapping[str, Source]) -> tuple[Fault, ...]:
        """One fault for each place with an unlisted source, by line; an unused source is no fault."""
        found = [
            Fault(
                "source not listed in sources",
                document.name,
                document.line_of(path),
                path_text(path),
                shown(key),
                "a key of the file's sources",
                nearest_of(key, sources),
            )
            for path, key in self.missing
        ]
        return tuple(sorted(found, key=lambda fault: fault.line or 0))


def missing_source_keys(model: BaseModel, sources: Mapping[str, Source]) -> SourceCheckResult:
    """Every `source` anywhere inside `model` that is not a key of `sources`, and the keys never named."""
    named = list(_named_sources(model, ()))
    missing = tuple((path, key) for path, key in named if key not in sources)
    used = {key for _, key in named}
    return SourceCheckResult(missing, tuple(key for key in sources if key not in used))


def _named_sources(value: object, path: DocumentPath) -> Iterator[tuple[DocumentPath, str]]:
    for name, inner in _parts(value):
        here = (*path, name)
        if name == "source" and isinstance(inner, str) and not isinstance(value, Mapping):
            yield here, inner
        else:
            yield from _named_sources(inner, here)


def _parts(value: Any) -> Iterator[tuple[str | int, Any]]:
    if isinstance(value, Source):
        return
    if isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            yield field.alias or name, getattr(value, name)
    elif dataclasses.is_dataclass(value):
        yield from ((field.name, getattr(value, field.name)) for field in dataclasses.fields(value))
    elif isinstance(value, Mapping):
        yield from ((str(key), inner) for key, inner in value.items())
    elif isinstance(value, (list, tuple, set, frozenset)):
        yield from enumerate(value)
