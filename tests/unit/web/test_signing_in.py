"""Let in beyond this computer: who is signed in, what each role may do, what is left on record of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from headstock.usecases.accounts_port import WRONG, Account
from headstock.usecases.records_port import Search
from headstock.usecases.roles import ACTS, ROLES, may
from headstock.usecases.serving import Serving
from headstock.web.application import API, ROUTERS, make_app
from headstock.wiring import open_accounts, open_records

PASSWORD = "lantern geese seven culvert"
SENT = {"origin": "https://testserver"}


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module", autouse=True)
def accounts(data: Path) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HEADSTOCK_DATA", str(data))
        kept = open_accounts(None)
        for role in reversed(ROLES):
            kept.add(Account(role, f"{role[0].upper()}. Rook", role), PASSWORD, "test")
        yield


@pytest.fixture
def client() -> Iterator[TestClient]:
    app = make_app(Serving(host="0.0.0.0"))
    with TestClient(app, base_url="https://testserver", follow_redirects=False, raise_server_exceptions=False) as found:
        yield found


def _in(client: TestClient, name: str, password: str = PASSWORD) -> int:
    return client.post("/sign-in", data={"name": name, "password": password}, headers=SENT).status_code


def _routes() -> list[tuple[str, str, str]]:
    """Method, path with something in its places, and act of every route."""
    found = []
    for router in (*ROUTERS, *API):
        for route in router.routes:
            if isinstance(route, APIRoute):
                act = next(one.dependency.act for one in route.dependencies if hasattr(one.dependency, "act"))
                path = route.path
                for name in route.param_convertors:
                    path = path.replace("{" + name + "}", "x").replace("{" + name + ":path}", "x")
                found += [(method, path, act) for method in route.methods]
    return found


def test_every_act_of_a_route_is_one_of_the_table() -> None:
    assert {act for _, _, act in _routes()} <= set(ACTS)


def test_nobody_gets_past_the_door(client: TestClient) -> None:
    for method, path, _ in _routes():
        if path in ("/sign-in", "/alive", "/service-worker.js"):
            continue
        answer = client.request(method, path, headers=SENT)
        assert answer.status_code in (303, 401), (method, path, answer.status_code)
        if answer.status_code == 303:
            assert answer.headers["location"].startswith("/sign-in")


@pytest.mark.parametrize("role", ROLES)
def test_each_role_is_refused_what_the_table_does_not_give_it(client: TestClient, role: str) -> None:
    _in(client, role)
    for method, path, act in _routes():
        if path in ("/sign-out", "/own-password") or may(role, act):  # type: ignore[arg-type]
            continue
        assert client.request(method, path, headers=SENT).status_code == 403, (method, path, act)


def test_a_wrong_password_and_a_name_that_nobody_has_get_one_answer(client: TestClient) -> None:
    wrong = client.post("/sign-in", data={"name": "crew", "password": "wrong"}, headers=SENT)
    nobody = client.post("/sign-in", data={"name": "nobody", "password": "wrong"}, headers=SENT)
    assert wrong.status_code == nobody.status_code == 403 and WRONG in wrong.text
    assert wrong.text == nobody.text


def test_a_session_has_a_cookie_that_no_script_reads_and_no_other_site_sends(client: TestClient) -> None:
    answer = client.post("/sign-in", data={"name": "crew", "password": PASSWORD, "back": "/records"}, headers=SENT)
    cookie = answer.headers["set-cookie"]
    assert answer.headers["location"] == "/records"
    for part in ("__Host-headstock=", "HttpOnly", "Secure", "samesite=strict", "Path=/"):
        assert part.lower() in cookie.lower()


def test_signing_in_gives_a_new_token_and_ends_the_old(client: TestClient) -> None:
    _in(client, "crew")
    first = client.cookies["__Host-headstock"]
    _in(client, "crew")
    assert client.cookies["__Host-headstock"] != first
    client.cookies.set("__Host-headstock", first, domain="testserver.local")
    client.cookies.clear()
    assert client.get("/", headers={"cookie": f"__Host-headstock={first}"}).status_code == 303


def test_signed_out_is_out(client: TestClient) -> None:
    _in(client, "crew")
    token = client.cookies["__Host-headstock"]
    assert client.get("/").status_code == 200
    client.post("/sign-out", headers=SENT)
    client.cookies.clear()
    assert client.get("/", headers={"cookie": f"__Host-headstock={token}"}).status_code == 303


def test_with_a_session_at_stake_silence_about_the_origin_is_not_enough(client: TestClient) -> None:
    _in(client, "crew")
    assert client.post("/theme", data={"theme": "paper"}).status_code == 403
    assert client.post("/theme", data={"theme": "paper"}, headers={"origin": "https://elsewhere.example"}).status_code == 403
    assert client.post("/theme", data={"theme": "paper"}, headers=SENT).status_code == 303


def test_what_was_done_and_what_was_refused_is_on_record(client: TestClient) -> None:
    _in(client, "crew")
    client.get("/jobs/new")
    client.get("/records")
    found = open_records(None).search(Search(("account:crew",), kind="audit"))
    acts = {(one.draft.body["act"], one.draft.body["outcome"]) for one in found}
    assert ("plan jobs", "refused") in acts and ("see records", "done") in acts


def test_a_live_connection_needs_a_session_too(client: TestClient) -> None:
    from starlette.websockets import WebSocketDisconnect

    with pytest.raises(WebSocketDisconnect) as closed, client.websocket_connect("/sittings/ABCDE/live", headers=SENT):
        pass
    assert closed.value.code == 4403


def test_one_s_own_password_is_changed_with_the_old_one(client: TestClient) -> None:
    _in(client, "instructor")
    wrong = client.post("/own-password", data={"old": "not it", "new": "culvert seven geese lantern"}, headers=SENT)
    assert wrong.status_code == 403
    weak = client.post("/own-password", data={"old": PASSWORD, "new": "short"}, headers=SENT)
    assert weak.status_code == 400
    done = client.post("/own-password", data={"old": PASSWORD, "new": "culvert seven geese lantern"}, headers=SENT)
    assert done.headers["location"] == "/sign-in"
    assert _in(client, "instructor") == 403 and _in(client, "instructor", "culvert seven geese lantern") == 303


def test_whoever_looks_at_somebody_else_s_competence_leaves_a_trace_and_at_their_own_none(client: TestClient) -> None:
    assert _in(client, "supervisor") == 303
    client.get("/people/person?name=S. Rook")
    client.get("/people")
    client.get("/people/person?name=C. Rook")
    found = open_records(None).search(Search(("account:supervisor",), kind="audit"))
    seen = [(one.draft.body["act"], one.draft.body["on"]) for one in found if str(one.draft.body["on"]).startswith("/people")]
    assert seen == [("see everybody's competence", "/people/person"), ("see everybody's competence", "/people")]


def test_a_note_leaves_a_trace_of_what_was_done(client: TestClient) -> None:
    _in(client, "supervisor")
    note = {
        "kind": "correction",
        "text": "written wrongly",
        "who": "M. Iden",
        "when": "2026-01-02 03:04:05",
        "units": [],
        "about": None,
    }
    client.post("/api/v1/records/note", json=note, headers=SENT)
    found = open_records(None).search(Search(("account:supervisor",), kind="audit"))
    assert "correct an entry" in {one.draft.body["act"] for one in found}
