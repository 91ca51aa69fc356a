"""Reading unit types from files: the built-in invented fleet, and anybody's own folder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

from headstock.base.documents import Document, document_from_text, read_document, read_text
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.nearest import nearest_of
from headstock.base.sources import missing_source_keys
from headstock.equipment.unit_type import UnitType

BUILT_IN = Path(__file__).parent / "fleet"
KIND = "unit type"


def load_unit_type(path: Path) -> UnitType:
    """One unit type from its file. Raises InputError with every fault of the file."""
    return unit_type_of(read_document(path))


def unit_type_from_text(text: str, name: str) -> UnitType:
    """The same from a text, called ``name`` in messages."""
    return unit_type_of(document_from_text(text, name))


@lru_cache(maxsize=64)
def _in_a_fleet(text: str, name: str) -> UnitType:
    """A type of a fleet's folder, read once while its text is the same; what people send is not kept."""
    return unit_type_from_text(text, name)


def unit_type_of(document: Document) -> UnitType:
    """The unit type that a document describes. Raises InputError with every fault."""
    unit_type = load_as(document, UnitType, KIND)
    unlisted = missing_source_keys(unit_type, unit_type.sources).faults(document, unit_type.sources)
    if unlisted:
        raise ContentError(unlisted)
    return unit_type


class Fleet:
    """Unit types by name; ``texts``: their descriptions as written, where they are kept."""

    def __init__(self, types: Iterable[UnitType], texts: Mapping[str, str] | None = None) -> None:
        self.texts = dict(texts or {})
        self.types = {unit_type.type: unit_type for unit_type in sorted(types, key=lambda t: t.type)}

    def find(self, name: str) -> UnitType:
        """A type by its name; raises InputError naming the nearest."""
        if name not in self.types:
            known = ", ".join(self.types)
            fault = Fault("unknown unit type", path="", found=name, expected=known, nearest=nearest_of(name, self.types))
            raise InputError(fault, cure="Give one of the fleet's types, or the folder of your own with --fleet.")
        return self.types[name]


def load_fleet(folder: Path | None = None) -> Fleet:
    """The fleet in a folder of ``*.yaml`` files (the built-in one by default); all faults of all files at once."""
    where = folder or BUILT_IN
    paths = sorted(where.glob("*.yaml"))
    if not paths:
        fault = Fault("no unit types", str(where), found="no *.yaml file", expected="one file for each unit type")
        raise InputError(fault)
    types: list[UnitType] = []
    texts: dict[str, str] = {}
    faults: list[Fault] = []
    for path in paths:
        try:
            text = read_text(path)
            types.append(_in_a_fleet(text, str(path)))
            texts[types[-1].type] = text
        except InputError as error:
            faults += error.faults
    names = [unit_type.type for unit_type in types]
    faults += [Fault(f"unit type {name} is described in two files", str(where)) for name in _twice(names)]
    if faults:
        raise ContentError(faults)
    return Fleet(types, texts)


def _twice(names: list[str]) -> list[str]:
    return sorted({name for name in names if names.count(name) > 1})
