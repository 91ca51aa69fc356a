"""What a model would have taken at a place: the names of its fields, and its types in plain words."""

from __future__ import annotations

import dataclasses
import enum
import re
import types
import typing
from collections.abc import Iterable, Mapping, Sequence, Set
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, Tag

from headstock.base.located import DocumentPath

MOST_CHOICES = 12


@dataclasses.dataclass(frozen=True)
class Shape:
    """One type a place may hold, and the tag it goes by in a union."""

    type: Any
    tag: str | None = None


def shapes_at(model: type[BaseModel], location: DocumentPath) -> tuple[Shape, ...]:
    """The types `model` takes at `location`, which may contain tags of unions; empty when that cannot be told."""
    here: tuple[Shape, ...] = (Shape(model),)
    for part in location:
        tagged = tuple(shape for shape in here if _goes_by(shape, part)) if len(here) > 1 else ()
        here = tagged or tuple(inner for shape in here for inner in _inside(shape.type, part))
    return here


def names_of(shapes: Iterable[Shape]) -> list[str]:
    """Names of the fields a group of one of these shapes may have."""
    return list(dict.fromkeys(name for shape in shapes for name in _fields(shape.type)))


def choices_text(choices: Sequence[str]) -> str:
    """`one of a, b or c`, not longer than twelve choices."""
    if len(choices) == 1:
        return choices[0]
    if len(choices) > MOST_CHOICES:
        return f"one of {', '.join(choices[:MOST_CHOICES])} and {len(choices) - MOST_CHOICES} more"
    return f"one of {', '.join(choices[:-1])} or {choices[-1]}"


def choices_in(expected: str) -> list[str]:
    """The choices in a text of the form `'a', 'b' or 'c'`."""
    return re.findall(r"'([^']*)'", expected) or re.split(r", | or ", expected)


def shapes_text(shapes: Iterable[Shape], *, as_choices: bool = False) -> str | None:
    """The shapes in plain words, such as `a number` or `a group with value, source`; None when there are none.

    `as_choices` takes the shapes for the words a tag may be, and joins them into one row of choices.
    """
    kinds = [shape.type for shape in shapes if shape.type is not type(None)]
    if as_choices:
        tags = [str(tag) for kind in kinds if get_origin(kind) is Literal for tag in get_args(kind)]
        return choices_text(list(dict.fromkeys(tags))) if tags else None
    words = list(dict.fromkeys(filter(None, map(_words, kinds))))
    return " or ".join(words[:4]) or None


def _flat(annotation: Any, tag: str | None = None) -> tuple[Shape, ...]:
    origin = get_origin(annotation)
    if hasattr(annotation, "__value__"):  # `type X = ...` is newer than the oldest Python supported
        return _flat(annotation.__value__, tag)
    if origin is Annotated:
        inner, *notes = get_args(annotation)
        return _flat(inner, next((note.tag for note in notes if isinstance(note, Tag)), tag))
    if origin is Union or origin is types.UnionType:
        return tuple(shape for member in get_args(annotation) for shape in _flat(member))
    return (Shape(annotation, tag),)


def _inside(kind: Any, part: str | int) -> tuple[Shape, ...]:
    if isinstance(part, str) and part in (fields := _fields(kind)):
        return _flat(fields[part])
    origin, arguments = get_origin(kind), get_args(kind)
    if not isinstance(origin, type) or not arguments:
        return ()
    if issubclass(origin, Mapping):
        return _flat(arguments[1]) if isinstance(part, str) else ()
    if isinstance(part, int) and issubclass(origin, tuple) and Ellipsis not in arguments:
        return _flat(arguments[part]) if part < len(arguments) else ()
    return _flat(arguments[0]) if isinstance(part, int) and issubclass(origin, (Sequence, Set)) else ()


def _fields(kind: Any) -> dict[str, Any]:
    if not isinstance(kind, type):
        return {}
    if issubclass(kind, BaseModel):
        return {field.alias or name: field.annotation for name, field in kind.model_fields.items()}
    if dataclasses.is_dataclass(kind):
        hints = typing.get_type_hints(kind, include_extras=True)
        return {field.name: hints[field.name] for field in dataclasses.fields(kind) if field.init}
    return {}


def _goes_by(shape: Shape, part: str | int) -> bool:
    if shape.tag is not None:
        return shape.tag == part
    if getattr(shape.type, "__name__", None) == part:
        return True
    return any(part in get_args(kind) for kind in _fields(shape.type).values() if get_origin(kind) is Literal)


def _words(kind: Any) -> str | None:
    simple = {str: "text", int: "a whole number", float: "a number", bool: "true or false"}
    if kind in simple:
        return simple[kind]
    if get_origin(kind) is Literal:
        return choices_text([str(choice) for choice in get_args(kind)])
    if isinstance(kind, type) and issubclass(kind, enum.Enum):
        return choices_text([str(member.value) for member in kind])
    if fields := _fields(kind):
        names = list(fields)
        return "a group with " + ", ".join(names[:6]) + (", …" if len(names) > 6 else "")
    origin = get_origin(kind) or kind
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return "a group of names and values"
    return "a list" if isinstance(origin, type) and issubclass(origin, (Sequence, Set)) else None
