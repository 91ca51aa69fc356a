"""The figures of a unit type that change most often, as fields of a form; set in its text, whose other lines stay as written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from headstock.base.documents import document_from_text
from headstock.base.errors import Fault, InputError
from headstock.base.located import Document, DocumentPath, path_text

OF_TYPE = (
    ("title", "What people call it"),
    ("issue", "Issue of this description"),
    ("greatest_speed_kmh", "Greatest speed [km/h]"),
)
OF_VEHICLE = (
    ("mass_t", "mass in working order [t]"), ("length_m", "length over couplers [m]"),
    ("bogie_centres_m", "between the middles of its bogies [m]"), ("width_m", "width of its body [m]"),
)  # fmt: skip
OF_END = (("height_of_floor_m", "floor above the rail [m]"), ("body_behind_face_m", "body behind the coupler's face [m]"))
OF_COUPLER = (
    ("height_mm", "height of the coupler [mm]"), ("height_low_mm", "lowest, worn and loaded [mm]"),
    ("height_high_mm", "highest, new and empty [mm]"), ("rated_pull_kn", "rated pull [kN]"),
)  # fmt: skip
LONG = 60


@dataclass(frozen=True, slots=True)
class TypeField:
    """A field: its name in the form, where it stands in the file, a label and the value now."""

    name: str
    path: DocumentPath
    label: str
    value: str


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Fields under one heading."""

    title: str
    fields: tuple[TypeField, ...]


def form_of(text: str) -> tuple[FieldGroup, ...]:
    """The fields of a type's text, of those values that it states. Raises InputError."""
    document = document_from_text(text, "unit type")
    return tuple(group for group in _groups(document) if group.fields)


def _groups(document: Document) -> Iterator[FieldGroup]:
    value = document.value
    yield _group("The type", (), OF_TYPE, value)
    for number, vehicle in enumerate(value.get("vehicles") or ()):
        yield _group(f"Vehicle {vehicle.get('suffix', number + 1)}", ("vehicles", number), OF_VEHICLE, vehicle)
    for end, spec in (value.get("ends") or {}).items():
        own, coupler = ("ends", end), (spec.get("devices") or {}).get("coupler") or {}
        fields = _group("", own, OF_END, spec).fields + _group("", (*own, "devices", "coupler"), OF_COUPLER, coupler).fields
        yield FieldGroup(f"End {end}", fields)


def _group(title: str, path: DocumentPath, names: tuple[tuple[str, str], ...], data: Mapping[str, Any]) -> FieldGroup:
    return FieldGroup(title, tuple(TypeField(path_text((*path, name)), (*path, name), label, str(data[name]))
                                   for name, label in names if isinstance(data.get(name), str | int | float)))  # fmt: skip


def with_values(text: str, given: Mapping[str, str]) -> str:
    """The text with new values of fields; raises InputError where a value cannot be set alone."""
    fields = {field.name: field for group in form_of(text) for field in group.fields}
    for name, value in given.items():
        if name in fields and value.strip() != fields[name].value:
            text = _with_value(text, fields[name], value.strip())
    return text


def _with_value(text: str, field: TypeField, value: str) -> str:
    before = document_from_text(text, "unit type")
    lines = text.splitlines(keepends=True)
    number = before.line_of(field.path) - 1
    key = re.escape(str(field.path[-1]))
    is_text = isinstance(_at(before.value, field.path), str)
    written = _quoted(value) if is_text else value
    fault = Fault("cannot be set here", path=field.name, found=value, expected="a figure; else change it in the text")
    if not is_text and not re.fullmatch(r"\d{1,6}(\.\d{1,6})?", value):
        raise InputError(fault)
    form = re.compile(rf'(?<![\w-]){key}(:\s*)("(?:[^"\\]|\\.)*"|[^,}}#\n]*[^,}}#\n\s])')
    lines[number], count = form.subn(lambda found: f"{field.path[-1]}{found[1]}{written}", lines[number], count=1)
    made = "".join(lines)
    after = document_from_text(made, "unit type")
    if count != 1 or _put(before.value, field.path, _at(after.value, field.path)) != after.value:
        raise InputError(fault)
    return made


def _quoted(value: str) -> str:
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _at(value: Any, path: DocumentPath) -> Any:
    for part in path:
        value = value[part]
    return value


def _put(value: Any, path: DocumentPath, new: Any) -> Any:
    """The same plain values with one of them replaced."""
    if not path:
        return new
    if isinstance(value, dict):
        return {key: _put(inner, path[1:], new) if key == path[0] else inner for key, inner in value.items()}
    return [_put(inner, path[1:], new) if number == path[0] else inner for number, inner in enumerate(value)]
