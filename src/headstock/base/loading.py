"""From a document to checked values: its first line, then every fault of its fields at once."""

from __future__ import annotations

import json
import re
from collections.abc import Collection
from typing import Final, TypeVar

from pydantic import BaseModel, ValidationError

from headstock.base.errors import ContentError, Fault, HeaderError
from headstock.base.field_faults import faults_of
from headstock.base.located import Document, shown
from headstock.base.nearest import nearest_of

HEADER: Final = "headstock"

M = TypeVar("M", bound=BaseModel)
_HEADER_FORM = re.compile(r"([a-z][a-z-]*(?: [a-z][a-z-]*)*) ([0-9]{1,6})")


def load_as(document: Document, model: type[M], kind: str | None = None, versions: tuple[int, ...] = (1,)) -> M:
    """`document` as `model`; with `kind`, its first line is checked and the model gets the rest.

    Raises `HeaderError`, or `ContentError` with every fault in the order of the lines. Types are strict: a number is
    not taken for text, nor text for a number.
    """
    if kind is not None:
        check_header(document, kind, versions)
        document = document.without(HEADER)
    try:
        # Through JSON, lists may fill tuples and words may fill choices, and still nothing is converted in silence.
        return model.model_validate_json(json.dumps(document.value), strict=True)
    except ValidationError as error:
        raise ContentError(faults_of(error, document, model)) from None


def check_header(document: Document, kind: str, versions: tuple[int, ...] = (1,)) -> int:
    """Version in the first line `headstock: <kind> <version>`; `HeaderError` names what was found and what is read."""
    supported = " or ".join(f"'{HEADER}: {kind} {version}'" for version in versions)
    said_kind, said_version = _header(document, supported)
    line, said = document.line_of((HEADER,)), shown(document.value[HEADER])
    if said_kind != kind:
        what = f"this is {_with_article(said_kind)} file, not {_with_article(kind)} file"
        raise HeaderError(Fault(what, document.name, line, HEADER, said, supported))
    if said_version not in versions:
        what = f"version of the {kind} file not known here"
        raise HeaderError(Fault(what, document.name, line, HEADER, said, supported))
    return said_version


def kind_of(document: Document, kinds: Collection[str]) -> str:
    """The kind that the first line names; `HeaderError` when it is none of `kinds`."""
    supported = " or ".join(f"'{HEADER}: {kind} 1'" for kind in kinds)
    kind, _ = _header(document, supported)
    if kind not in kinds:
        line, said = document.line_of((HEADER,)), shown(document.value[HEADER])
        near = nearest_of(kind, kinds)
        raise HeaderError(Fault("kind of file not known here", document.name, line, HEADER, said, supported, near))
    return kind


def _header(document: Document, supported: str) -> tuple[str, int]:
    """Kind and version in the first line."""
    line = document.line_of(())
    first = next(iter(document.value), None)
    if first != HEADER:
        what = "the first line does not say what this file is"
        found = shown(first) if HEADER not in document.value else f"'{HEADER}:' further down"
        near = nearest_of(HEADER, [first or ""])
        near = HEADER if near and HEADER not in document.value else None
        raise HeaderError(Fault(what, document.name, line, found=found, expected=supported, nearest=near))
    line = document.line_of((HEADER,))
    said = document.value[HEADER]
    form = _HEADER_FORM.fullmatch(said) if isinstance(said, str) else None
    if form is None:
        raise HeaderError(Fault("first line not understood", document.name, line, HEADER, shown(said), supported))
    return form[1], int(form[2])


def _with_article(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeio' else 'a'} {kind}"
