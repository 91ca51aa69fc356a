"""What stands before every route."""

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from headstock.web.application import API, ROUTERS
from headstock.web.guards import MOST_BYTES


def test_nothing_runs_or_loads_from_elsewhere(client: TestClient) -> None:
    for path in ("/", "/nothing", "/static/css/house.css"):
        policy = client.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy and "unsafe" not in policy


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"origin": "http://elsewhere.example"}, 403),
        ({"origin": "null"}, 403),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"origin": "http://testserver"}, 303),
        ({}, 303),
    ],
)
def test_only_a_page_of_this_server_may_send(client: TestClient, headers: dict[str, str], status: int) -> None:
    sent = client.post("/theme", data={"theme": "paper"}, headers=headers, follow_redirects=False)
    assert sent.status_code == status


def test_another_name_for_this_machine_is_refused(client: TestClient) -> None:
    assert client.get("/", headers={"host": "elsewhere.example"}).status_code == 403


def test_what_is_too_long_is_not_read(client: TestClient) -> None:
    answer = client.post("/theme", content=b"x" * (MOST_BYTES + 1))
    assert answer.status_code == 413 and "Too long" in answer.text
    assert "2,000,001 bytes" in answer.text and "at most 2 MB (2,000,000 bytes)" in answer.text
    assert "Nothing of it was read or kept." in answer.text and "Send a long list in parts" in answer.text
    far = client.post("/api/v1/plan", content=b"", headers={"content-length": "9" * 3000})
    assert far.status_code == 413 and far.json()["error"]["faults"][0]["found"] == "3000 figures"


def test_what_comes_without_its_length_is_told_to_bring_it(client: TestClient) -> None:
    answer = client.post("/api/v1/plan", content=iter([b"{}"]))
    said = answer.json()["error"]
    assert answer.status_code == 413 and "without its length" in said["message"] and "Content-Length" in said["cure"]


def test_the_way_back_stays_here(client: TestClient) -> None:
    for back in ("https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"):
        sent = client.post("/theme", data={"theme": "paper", "back": back}, follow_redirects=False)
        assert sent.headers["location"] == "/"


def test_an_error_has_one_shape(client: TestClient) -> None:
    for answer in (
        client.get("/api/nothing"),
        client.post("/theme", data={"theme": "x"}, headers={"accept": "application/json"}),
    ):
        assert set(answer.json()["error"]) == {"code", "message", "where", "why", "cure", "faults"}


def test_an_error_nobody_foresaw_tells_nothing_of_the_inside(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    from headstock.web.routes import turn

    def broken(*_: object) -> None:
        raise RuntimeError("secret inside")

    monkeypatch.setattr(turn, "booked_jobs", broken)
    answer = client.get("/")
    assert answer.status_code == 500 and "secret" not in answer.text and "nobody foresaw" in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


def test_every_route_says_what_one_must_be_allowed_to_do() -> None:
    routes = [route for router in (*ROUTERS, *API) for route in router.routes if isinstance(route, APIRoute)]
    assert len(routes) > len(ROUTERS)
    for route in routes:
        assert any(hasattr(one.dependency, "act") for one in route.dependencies), route.path
