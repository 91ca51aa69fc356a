"""The fleet: all types, one type end by end, two side by side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from markupsafe import Markup

from headstock.equipment.library import Fleet
from headstock.equipment.unit_type import UnitType
from headstock.formation.join_way import TypeEnd
from headstock.sheets.end_figure import NamedPart, coupler_icon, end_figure, named_parts
from headstock.usecases.answers_as_data.fleet import carries, coupler_words
from headstock.usecases.unit_type_versions import TypeVersion, versions_of
from headstock.usecases.unit_type_words import PartWords, TypeWords, type_words
from headstock.web.asked import AnswersOf, FleetFilesOf, RecordsOf
from headstock.web.page_paint import PAINT
from headstock.web.replies import page
from headstock.web.statuses import NOT_THERE, answered_as
from headstock.web.visitor import needs

router = APIRouter(prefix="/fleet", include_in_schema=False, dependencies=[needs("see the fleet")])
Name = Annotated[str, Query(max_length=80)]


@dataclass(frozen=True, slots=True)
class Compared:
    """Parts of one place of two types: name, what the one says of it and the other, "" where it has none."""

    where: str
    rows: tuple[tuple[str, str, str], ...]

    @property
    def differing(self) -> tuple[tuple[int, str], ...]:
        """Number and name of those of which the two say something else."""
        return tuple((number, name) for number, (name, one, other) in enumerate(self.rows, start=1) if one != other)


class EndShown:
    """An end as it is drawn and told: with names at a desk, with numbers on a phone."""

    def __init__(self, unit_type: UnitType, end: str) -> None:
        self.end, self.at = end, TypeEnd(f"{unit_type.type}/{end}", unit_type, end)
        spec = unit_type.ends[end]  # type: ignore[index]
        self.vehicle, self.has_cab = spec.vehicle, spec.has_cab
        self.coupler = coupler_words(spec.devices["coupler"])
        self.parts: tuple[NamedPart, ...] = named_parts(self.at)

    @cached_property
    def with_names(self) -> Markup:
        """The figure for a wide page."""
        return Markup(end_figure(self.at, PAINT, has_names=True))

    @cached_property
    def with_numbers(self) -> Markup:
        """The figure for a narrow one."""
        return Markup(end_figure(self.at, PAINT, has_names=False))

    @cached_property
    def icon(self) -> Markup:
        """Its coupler alone."""
        return Markup(coupler_icon(self.at, PAINT))


class TypeShown:
    """A type as its page shows it."""

    def __init__(self, unit_type: UnitType) -> None:
        self.type = unit_type
        self.carries = carries(unit_type)
        self.ends = tuple(EndShown(unit_type, end) for end in ("1", "2"))
        self.words: TypeWords = type_words(unit_type)


@router.get("")
def fleet(request: Request, answers: AnswersOf) -> Response:
    """All types."""
    shown = answers.kept(("page", "fleet"), lambda: [TypeShown(one) for one in answers.fleet.types.values()])
    return page(request, "fleet.html", types=shown, notes=request.app.state.fleet_notes)


@router.get("/compare")
def compare(request: Request, answers: AnswersOf, first: Name = "", second: Name = "") -> Response:
    """Two types side by side; the first two of the fleet where none are named."""
    names = list(answers.fleet.types)
    first, second = first or names[0], second or names[min(1, len(names) - 1)]
    with answered_as(NOT_THERE):
        pair = [type_shown(name, answers.fleet) for name in (first, second)]
    return page(request, "fleet_compare.html", pair=pair, names=names, groups=_groups(*(one.words for one in pair)))


@router.get("/{name}")
def unit_type(request: Request, name: str, answers: AnswersOf, files: FleetFilesOf, records: RecordsOf) -> Response:
    """One type."""
    with answered_as(NOT_THERE):
        shown = answers.kept(("page", "type", name), lambda: type_shown(name, answers.fleet))
    versions: tuple[TypeVersion, ...] = versions_of(name, files, records)
    return page(request, "fleet_type.html", shown=shown, versions=versions)


@router.get("/{name}/file")
def file(name: str, answers: AnswersOf) -> Response:
    """The type's file as text, for a folder of one's own."""
    with answered_as(NOT_THERE):
        found = answers.fleet.find(name)
    return Response(answers.fleet.texts[found.type], media_type="text/plain; charset=utf-8")


def type_shown(name: str, fleet: Fleet) -> TypeShown:
    """A type of the fleet. Raises InputError."""
    return TypeShown(fleet.find(name))


def _groups(one: TypeWords, other: TypeWords) -> tuple[Compared, ...]:
    """Every part that one of two types has, with what each says of it, place by place."""
    places = [("The unit", one.unit, other.unit)]
    places += [(f"End {end}", one.ends[end], other.ends[end]) for end in ("1", "2")]
    places.append(("The vehicles", one.vehicles, other.vehicles))
    return tuple(Compared(where, _rows(*both)) for where, *both in places if any(both))


def _rows(*both: Iterable[PartWords]) -> tuple[tuple[str, str, str], ...]:
    found: dict[str, list[str]] = {}
    for side, parts in enumerate(both):
        for part in parts:
            found.setdefault(part.name, ["", ""])[side] = part.says
    return tuple((name, says[0], says[1]) for name, says in found.items())
