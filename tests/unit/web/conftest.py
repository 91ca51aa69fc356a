"""An application on empty records, asked without a browser."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from headstock.usecases.serving import Serving


@pytest.fixture
def client(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    from headstock.web.application import make_app

    monkeypatch.setenv("HEADSTOCK_DATA", str(tmp_path))
    with TestClient(make_app(Serving()), raise_server_exceptions=False) as found:
        yield found
