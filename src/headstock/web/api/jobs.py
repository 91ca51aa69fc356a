"""Questions about a job: the order of work, an instruction, mistakes, the forecast, what the train can do."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Response

from headstock.base.errors import Fault, InputError
from headstock.usecases.answers_as_data.can import can_as_json
from headstock.usecases.answers_as_data.check import check_as_json
from headstock.usecases.answers_as_data.forecast import forecast_as_json
from headstock.usecases.answers_as_data.half_done import half_done_as_json
from headstock.usecases.answers_as_data.mistakes import mistakes_as_json
from headstock.usecases.answers_as_data.plan import plan_as_json
from headstock.usecases.can_job import can_job
from headstock.usecases.can_question import can_question
from headstock.usecases.check_instruction import check_instruction
from headstock.usecases.forecast_bands import BandAsked
from headstock.usecases.forecast_job import forecast_job
from headstock.usecases.job_mistakes import job_mistakes
from headstock.usecases.plan_job import plan_job
from headstock.usecases.relieve_job import relieve_job, role_and_name
from headstock.usecases.stop_job import stop_job
from headstock.web.api import PREFIX
from headstock.web.api.asking import JOB, AskingOf, Laid
from headstock.web.api.bodies import CanAsked, CheckAsked, ForecastAsked, MistakesAsked, PlanAsked
from headstock.web.api.shapes import said
from headstock.web.visitor import needs
from headstock.wiring import drawn_bands

router = APIRouter(prefix=PREFIX, tags=["jobs"], dependencies=[needs("see jobs")])


@router.post("/plan", responses=said("as `headstock plan --json`, without files written"))
def plan(asked: PlanAsked, ask: AskingOf) -> Response:
    """The order of work of a job, and why each step is there; or every reason for no."""
    if asked.relief is not None and asked.stop_after is None:
        raise InputError(Fault("a relief after which line?", path="relief", found=asked.relief, expected="stop_after as well"))

    def work(laid: Laid) -> Any:
        answer = plan_job(laid.path(JOB), ask.answers.fleet, ask.answers.engine)
        if asked.stop_after is None or answer.answer != "yes":
            return plan_as_json(answer, ())
        role, name = role_and_name(asked.relief, "relief")
        found = relieve_job(answer, asked.stop_after, role, name) if role else stop_job(answer, asked.stop_after)
        return half_done_as_json(found, None)

    return ask.answer("plan", asked, ask.files(asked), work)


@router.post("/check", responses=said("as `headstock check --json`"))
def check(asked: CheckAsked, ask: AskingOf) -> Response:
    """Every hole of a written instruction, how it hurts, and the smallest repair."""
    files = ask.files(asked, words=asked.words) | {"instruction.txt": asked.instruction}

    def work(laid: Laid) -> Any:
        found = check_instruction(laid.path("instruction.txt"), laid.path(JOB), ask.answers.fleet, ask.answers.engine,
                                  laid.own("words.yaml"))  # fmt: skip
        return check_as_json(found, None)

    return ask.answer("check", asked, files, work)


@router.post("/mistakes", responses=said("as `headstock mistakes --json`"))
def mistakes(asked: MistakesAsked, ask: AskingOf) -> Response:
    """Each mistake in a job, who notices and when, and what nobody would."""

    def work(laid: Laid) -> Any:
        found = job_mistakes(laid.path(JOB), ask.answers.fleet, ask.answers.engine, laid.own("plausibility.yaml"),
                             asked.plausible if asked.pairs else None)  # fmt: skip
        return mistakes_as_json(found, asked.top)

    return ask.answer("mistakes", asked, ask.files(asked, plausibility=asked.plausibility), work)


@router.post("/forecast", responses=said("as `headstock forecast --json`"))
def forecast(asked: ForecastAsked, ask: AskingOf) -> Response:
    """What the gauges will show in the brake test: healthy with its band, and with each cock shut or the faults given."""

    def work(laid: Laid) -> Any:
        band = BandAsked(drawn_bands(), asked.members, laid.own("drawn.yaml"))
        found = forecast_job(laid.path(JOB), ask.answers.fleet, ask.answers.engine, tuple(asked.faults),
                             laid.named(asked.method), band)  # fmt: skip
        return forecast_as_json(found)

    return ask.answer("forecast", asked, ask.files(asked, drawn=asked.drawn), work)


@router.post("/can", responses=said("as `headstock can --json`, without a sheet"))
def can(asked: CanAsked, ask: AskingOf) -> Response:
    """What the train can do: stop, stand, haul, take the meeting, fit; what each lost brake costs."""
    question = can_question(asked.speed, asked.keep, asked.profile, asked.platform, asked.signal, asked.curve_radius,
                            asked.leak_off)  # fmt: skip

    def work(laid: Laid) -> Any:
        return can_as_json(can_job(laid.path(JOB), ask.answers.fleet, ask.answers.engine, question))

    return ask.answer("can", asked, ask.files(asked), work)
