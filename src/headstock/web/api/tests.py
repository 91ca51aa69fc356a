"""Questions about brake tests: readings, causes, which test is due, methods; and a couple that is half made."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Response

from headstock.local_rules.test_method import BUILT_IN, built_in_methods, load_test_method, method_path
from headstock.usecases.answers_as_data.couple import couple_as_json
from headstock.usecases.answers_as_data.due import due_as_json
from headstock.usecases.answers_as_data.find import found_as_json
from headstock.usecases.answers_as_data.judge import judged_as_json
from headstock.usecases.answers_as_data.methods import method_as_json
from headstock.usecases.find_cause import search_cause
from headstock.usecases.judge_readings import judge_readings
from headstock.usecases.part_made_couple import part_made_couple
from headstock.usecases.sent_files import named_here
from headstock.usecases.which_tests import which_tests
from headstock.web.api import PREFIX
from headstock.web.api.asking import JOB, AskingOf, Laid
from headstock.web.api.bodies import CoupleAsked, DueAsked, FindAsked, JudgeAsked
from headstock.web.api.shapes import as_answer, said
from headstock.web.statuses import NOT_THERE, answered_as
from headstock.web.visitor import needs
from headstock.wiring import expected_readings, many_runs, read_recorder, signature_blocks

router = APIRouter(prefix=PREFIX, tags=["brake tests"], dependencies=[needs("see jobs")])
READINGS = "readings.yaml"


@router.post("/judge", responses=said("as `headstock judge --json`"))
def judge(asked: JudgeAsked, ask: AskingOf) -> Response:
    """Are the readings of a brake test within limits: within, not within, not yet, or refused. No permission to move."""
    files = ask.files(asked) | {READINGS: asked.readings}

    def work(laid: Laid) -> Any:
        fleet, path = ask.answers.fleet, laid.path(READINGS)
        expected = expected_readings(path, fleet) if asked.forecast else None
        return judged_as_json(judge_readings(path, fleet, read_recorder, asked.at or "", expected))

    return ask.answer("judge", asked, files, work)


@router.post("/find", responses=said("as `headstock find --json`"))
def find(asked: FindAsked, ask: AskingOf) -> Response:
    """What explains the readings of a failed brake test, what cannot be told apart, and where to look next."""
    files = ask.files(asked, drawn=asked.drawn) | {READINGS: asked.readings}

    def work(laid: Laid) -> Any:
        search = search_cause(laid.path(READINGS), ask.answers.fleet, ask.answers.engine, signature_blocks(), read_recorder,
                              start=asked.start, drawn=laid.own("drawn.yaml"), runs=many_runs)  # fmt: skip
        there, gone = ([search.named(words) for words in some] for some in (asked.there, asked.not_there))
        return found_as_json(search, search.answer(there, gone))

    return ask.answer("find", asked, files, work)


@router.post("/due", responses=said("as `headstock due --json`"))
def due(asked: DueAsked, ask: AskingOf) -> Response:
    """Which brake test is due after what happened, and why; or what must be known to decide."""

    def work(laid: Laid) -> Any:
        named = laid.named(asked.triggers)
        return due_as_json(which_tests(asked.events, asked.facts, named, laid.own(JOB), ask.answers.fleet))

    return ask.answer("due", asked, ask.files(asked), work)


@router.post("/couple", responses=said("as `headstock couple --json`"))
def couple(asked: CoupleAsked, ask: AskingOf) -> Response:
    """A couple that is half made: which states explain what is seen, what tells them apart, what to do and what never."""

    def work(laid: Laid) -> Any:
        return couple_as_json(part_made_couple(asked.family, asked.signs, laid.own(JOB)))

    return ask.answer("couple", asked, ask.files(asked), work)


@router.get("/methods", responses=said("as `headstock methods list --json`"))
def methods() -> Response:
    """All built-in methods of testing the brake."""
    return as_answer([method_as_json(name, load_test_method(path)) for name, path in built_in_methods().items()])


@router.get("/methods/{name}", responses=said("as `headstock methods show --json`"))
def method(name: str) -> Response:
    """One method, stage by stage."""
    with answered_as(NOT_THERE):
        path = method_path(str(named_here(name, {}, BUILT_IN)), BUILT_IN)
    found = load_test_method(path)
    return as_answer(method_as_json(path.stem, found) | {"data": found.model_dump(mode="json")})
