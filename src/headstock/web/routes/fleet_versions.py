"""Changing a type: as text with its faults as one writes, or in a form; its versions and what two of them say differently."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import RedirectResponse

from headstock.base.errors import InputError
from headstock.equipment.library import Fleet, unit_type_from_text
from headstock.usecases.read_files import unit_type_notes
from headstock.usecases.shown_fault import shown_faults
from headstock.usecases.type_difference import different_lines, different_values, touched_by_change
from headstock.usecases.type_form import form_of, with_values
from headstock.usecases.unit_type_versions import fleet_in_force, version_draft, version_named, versions_of
from headstock.web.answers import Answers
from headstock.web.asked import AnswersOf, FleetFilesOf, FormOf, RecordsOf
from headstock.web.replies import page
from headstock.web.statuses import NOT_THERE, answered_as
from headstock.web.visitor import needs, visitor_of

router = APIRouter(prefix="/fleet", include_in_schema=False)
SEES, CHANGES = needs("see the fleet"), needs("change the fleet")
Text = Annotated[str, Form(max_length=200_000)]
Line = Annotated[str, Form(max_length=400)]
Code = Annotated[str, Query(max_length=40)]


@router.get("/{name}/edit", dependencies=[CHANGES])
def edit(request: Request, name: str, answers: AnswersOf, records: RecordsOf) -> Response:
    """The text of a type, to be changed."""
    return _editor(request, name, _text_of(name, answers))


@router.post("/{name}/edit/faults", dependencies=[CHANGES])
def faults(request: Request, name: str, text: Text = "") -> Response:
    """What is wrong with the text as it stands; nothing is saved."""
    return page(request, "fleet_faults.html", **_read(text), is_saved=None)


@router.post("/{name}/edit", dependencies=[CHANGES])
def save(
    request: Request, name: str, answers: AnswersOf, files: FleetFilesOf, text: Text = "", who: Line = "", why: Line = ""
) -> Response:  # fmt: skip
    """Save the text as a version, which is in force at once."""
    text = text.replace("\r\n", "\n")
    try:
        return _saved(request, answers, files, text, who, why)
    except InputError as error:
        return _editor(request, name, text, error, who, why)


def _saved(request: Request, answers: Answers, files: Fleet, text: str, who: str, why: str) -> Response:
    """Put a text on record as a version, in force at once. Raises InputError."""
    draft, found = version_draft(text, visitor_of(request).name or who, why, files, answers.records)
    answers.records.append([draft])
    in_force, request.app.state.fleet_notes = fleet_in_force(files, answers.records)
    answers.use_fleet(in_force)
    return RedirectResponse(f"/fleet/{found.type}?saved=1", 303)


@router.get("/{name}/fields", dependencies=[CHANGES])
def fields(request: Request, name: str, answers: AnswersOf) -> Response:
    """The figures that change most often, as a form."""
    return page(request, "fleet_fields.html", name=name, groups=form_of(_text_of(name, answers)), given={}, error=None,
                who="", why="")  # fmt: skip


@router.post("/{name}/fields", dependencies=[CHANGES])
def save_fields(request: Request, name: str, answers: AnswersOf, files: FleetFilesOf, form: FormOf) -> Response:
    """Set the figures in the text and save it as a version."""
    given = {key: value[:400] for key, value in form.items()}
    who, why = given.pop("who", ""), given.pop("why", "")
    before = _text_of(name, answers)
    try:
        return _saved(request, answers, files, with_values(before, given), who, why)
    except InputError as error:
        return page(request, "fleet_fields.html", 400, name=name, groups=form_of(before), given=given, error=error,
                    who=who, why=why)  # fmt: skip


@router.get("/{name}/versions", dependencies=[SEES])
def versions(request: Request, name: str, files: FleetFilesOf, records: RecordsOf, answers: AnswersOf) -> Response:
    """All versions of a type."""
    with answered_as(NOT_THERE):
        answers.fleet.find(name)
    return page(request, "fleet_versions.html", name=name, versions=versions_of(name, files, records))


@router.get("/{name}/difference", dependencies=[SEES])
def difference(
    request: Request, name: str, files: FleetFilesOf, records: RecordsOf, before: Code = "", after: Code = ""
) -> Response:  # fmt: skip
    """What two versions say differently, and what on record rests on the type."""
    with answered_as(NOT_THERE):
        old, new = (version_named(code, name, files, records) for code in (before, after))
    return page(request, "fleet_difference.html", name=name, old=old, new=new, lines=different_lines(old.text, new.text),
                values=different_values(old.text, new.text), touched=touched_by_change(name, records))  # fmt: skip


def _text_of(name: str, answers: Answers) -> str:
    """The text in force. Raises WithStatus for a type that there is not."""
    with answered_as(NOT_THERE):
        return answers.fleet.texts[answers.fleet.find(name).type]


def _read(text: str) -> dict[str, Any]:
    """What reading the text says."""
    text = text.replace("\r\n", "\n")
    try:
        found = unit_type_from_text(text, "unit type")
    except InputError as error:
        return {"faults": shown_faults(text, error.faults), "notes": ()}
    return {"faults": (), "notes": unit_type_notes(found)}


def _editor(
    request: Request, name: str, text: str, error: InputError | None = None, who: str = "", why: str = ""
) -> Response:  # fmt: skip
    read = _read(text)
    if error is not None:
        read["faults"] = shown_faults(text, error.faults)
    return page(request, "fleet_edit.html", 400 if error else 200, name=name, text=text, who=who, why=why,
                is_saved=False if error else None, **read)  # fmt: skip
