"""Whatever is sent: never a status that the description does not name, never a 500 (schemathesis, in process)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from fastapi.routing import APIRoute
from hypothesis import HealthCheck, given, settings
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance

from headstock.usecases.serving import Serving
from headstock.web.application import API

CHECKS = [schemathesis.checks.not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
NEGATIVE = schemathesis.GenerationMode.NEGATIVE


@pytest.fixture(scope="module")
def api(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    from starlette.testclient import TestClient

    from headstock.web.application import make_app

    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HEADSTOCK_DATA", str(tmp_path_factory.mktemp("data")))
        app = make_app(Serving())
        with TestClient(app):
            yield schemathesis.openapi.from_asgi("/api/openapi.json", app)


CALLS = [(route.path, next(iter(route.methods))) for router in API for route in router.routes if isinstance(route, APIRoute)]


def asked(api: Any, path: str, method: str, examples: int) -> None:
    """So many made-up bodies and parameters, good and bad, sent to one call."""

    @settings(max_examples=examples, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(case=api[path][method].as_strategy() | api[path][method].as_strategy(generation_mode=NEGATIVE))
    def sent(case: Any) -> None:
        case.call_and_validate(checks=CHECKS)

    sent()


@pytest.mark.parametrize(("path", "method"), CALLS)
def test_a_few_bodies_of_every_call(api: Any, path: str, method: str) -> None:
    asked(api, path, method, 10)


@pytest.mark.slow
@pytest.mark.parametrize(("path", "method"), CALLS)
def test_many_bodies_of_every_call(api: Any, path: str, method: str) -> None:
    asked(api, path, method, 300)
