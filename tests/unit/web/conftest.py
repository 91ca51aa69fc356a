"""An application on empty records, asked without a browser."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from headstock.usecases.serving import Serving


@pytest.fixture(autouse=True)
def prepared(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Codes of jobs whose signatures were begun; none is worked out here, it takes all cores."""
    from headstock.usecases.job_book import BookedJob
    from headstock.web.routes import brake_test

    found: list[str] = []

    def begin(job: BookedJob, _: object) -> None:
        found.append(job.code)

    monkeypatch.setattr(brake_test, "begin_signatures", begin)
    return found


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    from headstock.web.application import make_app

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    with TestClient(make_app(Serving()), raise_server_exceptions=False) as found:
        yield found
