"""The web application: routes, guards and errors joined to the answers."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any, cast

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles
from starlette.middleware.gzip import GZipMiddleware

from headstock import __version__
from headstock.records.store import StoredRecords
from headstock.usecases.papers_sat import PapersSat
from headstock.usecases.roles import Role, may
from headstock.usecases.serving import LOOPBACK, Serving
from headstock.usecases.sittings import Sittings
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.unit_type_versions import fleet_in_force
from headstock.web.answers import Answers
from headstock.web.api import fleet as api_fleet
from headstock.web.api import jobs as api_jobs
from headstock.web.api import records as api_records
from headstock.web.api import tests as api_tests
from headstock.web.faults import add_faults
from headstock.web.guards import guard
from headstock.web.live_sessions import LiveSessions
from headstock.web.long_work import LongWork
from headstock.web.routes import (
    brake_test,
    exercise,
    fleet,
    fleet_joins,
    fleet_versions,
    house,
    job,
    job_people,
    job_sections,
    look_next,
    new_job,
    offline,
    papers,
    people,
    people_files,
    print_job,
    records,
    sign_in,
    sign_off,
    sitting_record,
    stop_job,
    turn,
)
from headstock.web.signing_in import signed_in
from headstock.web.sitting_board import SittingBoards
from headstock.web.verifying import Verifying
from headstock.web.visitor import Visitor
from headstock.web.work_in_hand import LongWorks
from headstock.wiring import accounts_of, air_engine, data_folder, fleet_from, open_records, paper_log, sitting_log

ABOUT = f"The questions of the command line, answered as JSON. {STANDING_CAUTION}"
HERE = Path(__file__).parent
ROUTERS = (
    turn.router, new_job.router, job.router, job_sections.router, stop_job.router, print_job.router, exercise.router,
    house.router, sign_in.router, fleet_joins.router, fleet_versions.router, fleet.router, records.router, brake_test.router,
    look_next.router, offline.router,
    people.router, sign_off.router, people_files.router, job_people.router, sitting_record.router, papers.router,
)  # fmt: skip
API = (api_jobs.router, api_tests.router, api_fleet.router, api_records.router)
"""Answers as JSON."""


def make_app(serving: Serving, records: StoredRecords | None = None) -> FastAPI:
    """The application on its records (opened here where none are given) and fleet. Raises InputError, StorageError."""
    records = records or open_records(serving.database)

    @asynccontextmanager
    async def open_to_close(_: FastAPI) -> AsyncIterator[None]:
        yield
        app.state.long_work.close()
        records.close()

    app = FastAPI(title="Headstock", version=__version__, lifespan=open_to_close, docs_url=None, redoc_url=None,
                  openapi_url="/api/openapi.json", description=ABOUT)  # fmt: skip
    app.state.fleet_files = fleet_from(serving.fleet)
    in_force, app.state.fleet_notes = fleet_in_force(app.state.fleet_files, records)
    app.state.answers = Answers(in_force, air_engine(), records, data_folder() / "job-files")
    app.state.sittings = Sittings(sitting_log(), app.state.answers.fleet, app.state.answers.engine)
    app.state.papers = PapersSat(paper_log())
    app.state.sitting_boards = SittingBoards()
    app.state.long_work, app.state.verifying = LongWork(), Verifying(records)
    app.state.long_works = LongWorks()
    app.state.hosts = ("*",) if serving.signs_in else (*LOOPBACK, "testserver")
    app.state.accounts = accounts_of(records) if serving.signs_in else None
    app.state.live_sessions = LiveSessions(app.state.accounts)
    app.state.may = _by_role if serving.signs_in else _anything
    app.middleware("http")(signed_in)
    app.middleware("http")(guard)
    app.add_middleware(GZipMiddleware, minimum_size=1500, compresslevel=5)
    add_faults(app)
    for router in (*ROUTERS, *API):
        app.include_router(router)
    app.mount("/static", Kept(directory=HERE / "static"), name="static")
    return app


def _by_role(visitor: Visitor, act: str) -> bool:
    """By the table of roles; who is not signed in may look at the door."""
    return act == "look" if not visitor.role else may(cast(Role, visitor.role), act)


def _anything(*_: Any) -> bool:
    """The one person of a machine may do everything."""
    return True


class Kept(StaticFiles):
    """Files that a browser may keep, asking each time whether they are still the same."""

    def file_response(self, *args: Any, **kwargs: Any) -> Any:
        """The file, with its validators."""
        answer = super().file_response(*args, **kwargs)
        answer.headers["Cache-Control"] = "no-cache"
        return answer
