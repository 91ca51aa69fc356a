"""The web application: routes, guards and errors joined to the answers."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from headstock import __version__
from headstock.usecases.serving import LOOPBACK, Serving
from headstock.web.answers import Answers
from headstock.web.faults import add_faults
from headstock.web.guards import guard
from headstock.web.routes import brake_test, house, job, look_next, offline, turn
from headstock.wiring import air_engine, data_folder, fleet_from, open_records

HERE = Path(__file__).parent
ROUTERS = (turn.router, job.router, house.router, brake_test.router, look_next.router, offline.router)


def make_app(serving: Serving) -> FastAPI:
    """The application on its records and fleet. Raises InputError, StorageError."""
    records = open_records(serving.database)

    @asynccontextmanager
    async def open_to_close(_: FastAPI) -> AsyncIterator[None]:
        yield
        records.close()

    app = FastAPI(title="Headstock", version=__version__, lifespan=open_to_close, docs_url=None, redoc_url=None,
                  openapi_url="/api/openapi.json")  # fmt: skip
    app.state.answers = Answers(fleet_from(serving.fleet), air_engine(), records, data_folder() / "job-files")
    app.state.hosts = (*LOOPBACK, "testserver") if serving.is_loopback else ("*",)
    app.state.may = _anything
    app.middleware("http")(guard)
    add_faults(app)
    for router in ROUTERS:
        app.include_router(router)
    app.mount("/static", Kept(directory=HERE / "static"), name="static")
    return app


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
