"""Questions about the fleet: its types, what joins what, two ends, files of unit types."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Response

from headstock.base.errors import ContentError, Fault, InputError
from headstock.equipment.library import load_unit_type
from headstock.usecases.answers_as_data.fleet import type_as_json
from headstock.usecases.answers_as_data.join import join_as_json
from headstock.usecases.answers_as_data.table import table_as_json
from headstock.usecases.job_file import load_rules_named
from headstock.usecases.join_ends import join_ends
from headstock.usecases.join_table import join_table
from headstock.usecases.sent_files import laid_out
from headstock.usecases.track_given import TrackGiven, track_from
from headstock.web.api import PREFIX
from headstock.web.api.asking import JOB, AskingOf, Laid
from headstock.web.api.bodies import JoinAsked, TableAsked, TrackAsked, TypesSent
from headstock.web.api.shapes import as_answer, said
from headstock.web.asked import AnswersOf
from headstock.web.statuses import NOT_THERE, answered_as
from headstock.web.visitor import needs

router = APIRouter(prefix=PREFIX, tags=["fleet"], dependencies=[needs("see the fleet")])


@router.get("/fleet", responses=said("as `headstock fleet list --json`"))
def types(answers: AnswersOf) -> Response:
    """All unit types, with the versions that are on record."""
    return as_answer([type_as_json(unit_type) for unit_type in answers.fleet.types.values()])


@router.get("/fleet/{name}", responses=said("as `headstock fleet show --json`"))
def unit_type(name: str, answers: AnswersOf) -> Response:
    """One unit type, end by end."""
    with answered_as(NOT_THERE):
        found = answers.fleet.find(name)
    return as_answer(found.model_dump(mode="json"))


@router.post("/fleet/check", responses=said("as `headstock fleet check --json`"))
def check_types(sent: TypesSent) -> Response:
    """Unit type files: every fault of every file at once. Nothing is saved."""
    good, faults = [], list[Fault]()
    with laid_out(sent.files) as folder:
        for name in sent.files:
            try:
                good.append(load_unit_type(folder / name))
            except InputError as error:
                faults += error.faults
        if faults:
            raise ContentError(faults)
    return as_answer([type_as_json(one) for one in good])


@router.post("/join", responses=said("as `headstock join --json`, without a sheet"))
def join(asked: JoinAsked, ask: AskingOf) -> Response:
    """Can these two ends be joined: yes, no, or only if, with every reason."""

    def work(laid: Laid) -> Any:
        rules = laid.named(asked.local_rules) or ""
        found = join_ends(asked.first, asked.second, ask.answers.fleet, rules, laid.own(JOB), _track(asked, laid))
        return join_as_json(found)

    return ask.answer("join", asked, ask.files(asked), work)


@router.post("/table", responses=said("as `headstock table --json`, with no files written"))
def table(asked: TableAsked, ask: AskingOf) -> Response:
    """Which ends of a fleet join which: every pair, with every reason."""

    def work(laid: Laid) -> Any:
        rules = load_rules_named(laid.named(asked.local_rules) or "")
        found = join_table(ask.answers.fleet, rules, _track(asked, laid), asked.types)
        return {**table_as_json(found), "written": []}

    return ask.answer("table", asked, ask.files(asked), work)


def _track(asked: TrackAsked, laid: Laid) -> TrackGiven:
    return track_from(laid.named(asked.place), asked.curve_radius, asked.curve)
