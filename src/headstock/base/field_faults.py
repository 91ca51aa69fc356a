"""From what the validation says to faults with line and path, in plain words and all at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from headstock.base.document_paths import path_in, value_at
from headstock.base.errors import Fault
from headstock.base.field_shapes import choices_in, choices_text, names_of, shapes_at, shapes_text
from headstock.base.field_words import WRONG_KIND, bounds_text, kind_text, likely_value
from headstock.base.located import Document, DocumentPath, path_text, shown
from headstock.base.nearest import nearest_of
from headstock.base.tree import MOST_FAULTS


def faults_of(error: ValidationError, document: Document, model: type[BaseModel]) -> tuple[Fault, ...]:
    """The faults behind `error`, by line; past a hundred, the last one counts the rest."""
    details = error.errors(include_url=False)
    faults = [_FieldError(detail, document, model).fault() for detail in details[:MOST_FAULTS]]
    faults.sort(key=lambda fault: fault.line or 0)
    faults = list(_merged(faults))
    if len(details) > MOST_FAULTS:
        faults.append(Fault(f"and {len(details) - MOST_FAULTS} more faults", document.name))
    return tuple(faults)


@dataclass(frozen=True)
class _FieldError:
    """One thing the validation said, on its way to a fault."""

    detail: ErrorDetails
    document: Document
    model: type[BaseModel]

    @property
    def given(self) -> Any:
        return self.detail["input"]

    @property
    def context(self) -> dict[str, Any]:
        return self.detail.get("ctx", {})

    @cached_property
    def path(self) -> DocumentPath:
        return path_in(self.document.value, self.detail["loc"], self.given, self.detail["type"] == "missing")

    @property
    def tag_path(self) -> DocumentPath:
        """Where the word stands that tells which kind of group this is."""
        name = self._tag_name()
        # A tag worked out by a function is written `name()`: then the whole group is what is wrong.
        return self.path if name.endswith("()") else (*self.path, name)

    def fault(self) -> Fault:
        """The fault in plain words."""
        ways = {
            "missing": self._missing,
            "extra_forbidden": self._unknown,
            "unexpected_keyword_argument": self._unknown,
            "union_tag_invalid": self._wrong_tag,
            "union_tag_not_found": self._missing_tag,
            "literal_error": self._wrong_choice,
            "enum": self._wrong_choice,
            "value_error": self._own_words,
            "assertion_error": self._own_words,
        }
        return ways.get(self.detail["type"], self._wrong_value)()

    def _at(
        self, what: str, found: str | None, expected: str | None = None, near: str | None = None, *, tag: bool = False
    ) -> Fault:
        path = self.tag_path if tag else self.path
        return Fault(what, self.document.name, self.document.line_of(path), path_text(path), found, expected, near)

    def _missing(self) -> Fault:
        what = "missing field" if self.path and isinstance(self.path[-1], str) else "missing item"
        return self._at(what, "nothing", shapes_text(shapes_at(self.model, self.detail["loc"])) or "a value")

    def _unknown(self) -> Fault:
        names = names_of(shapes_at(self.model, self.detail["loc"][:-1]))
        present = value_at(self.document.value, self.path[:-1])
        unused = [name for name in names if not isinstance(present, dict) or name not in present]
        name = self.path[-1]
        expected = choices_text(unused) if unused else "no more fields here"
        return self._at("unknown field", shown(name), expected, nearest_of(name, unused))

    def _wrong_tag(self) -> Fault:
        tag, choices = self.context["tag"], choices_in(self.context["expected_tags"])
        near = nearest_of(tag, choices)
        return self._at("not one of the choices", shown(tag), choices_text(choices), near, tag=True)

    def _missing_tag(self) -> Fault:
        name = self._tag_name()
        shapes = [inner for shape in shapes_at(self.model, self.detail["loc"]) for inner in shapes_at(shape.type, (name,))]
        expected = shapes_text(shapes, as_choices=True) or "the word that says which kind this is"
        return self._at("missing field", "nothing", expected, tag=True)

    def _tag_name(self) -> str:
        return str(self.context["discriminator"]).strip("'")

    def _wrong_choice(self) -> Fault:
        choices = choices_in(self.context["expected"])
        near = nearest_of(self.given, choices)
        return self._at("not one of the choices", shown(self.given), choices_text(choices), near)

    def _own_words(self) -> Fault:
        found = None if isinstance(self.given, (dict, list)) else shown(self.given)
        return self._at(str(self.context.get("error", self.detail["msg"])), found)

    def _wrong_value(self) -> Fault:
        found = shown(self.given)
        if bounds := bounds_text(self.detail["type"], self.context):
            return self._at("out of bounds", found, bounds)
        if expected := kind_text(self.detail["type"], self.given):
            return self._at(WRONG_KIND, found, expected, likely_value(self.detail["type"], self.given))
        # Words without a place in the tables here: what is left of the original sentence.
        prefix = "Input should be "
        if self.detail["msg"].startswith(prefix):
            return self._at("value not accepted", found, self.detail["msg"].removeprefix(prefix))
        return self._at(self.detail["msg"], found)


def _merged(faults: list[Fault]) -> Iterator[Fault]:
    """Where a field takes several types, one fault that names them all."""
    held: Fault | None = None
    for fault in faults:
        if held is not None and held.what == fault.what == WRONG_KIND and held.path == fault.path:
            expected = [text for text in (held.expected, fault.expected) if text]
            held = replace(held, expected=" or ".join(dict.fromkeys(expected)), nearest=held.nearest or fault.nearest)
            continue
        if held is not None:
            yield held
        held = fault
    if held is not None:
        yield held
