"""Every way in and every role, and nobody: open where the table says so, shut else; then the tricks by which doors are opened."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.routing import APIRoute, APIWebSocketRoute
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from headstock.usecases.accounts_port import Account, SignedIn
from headstock.usecases.records_port import Search
from headstock.usecases.roles import ACTS, ROLES
from headstock.usecases.serving import Serving
from headstock.web.application import API, ROUTERS, make_app
from headstock.wiring import open_accounts, open_records
from tests.hostile.doors import BESIDE, LIVE, OPEN, doors
from tests.promises.tree import ROOT

PASSWORD = "lantern geese seven culvert"
HOME, ELSEWHERE = {"origin": "https://testserver"}, {"origin": "https://elsewhere.example"}
NOBODY = "nobody"
ROUTES = [route for router in (*ROUTERS, *API) for route in router.routes]
SENDING = sorted(door for door in doors() if not door.startswith("GET"))


class House:
    """The application as others reach it, with a session of each role."""

    def __init__(self, client: TestClient) -> None:
        self.client = client
        app: Any = client.app
        found = {role: app.state.accounts.sign_in(role, PASSWORD, "here") for role in ROLES}
        self.tokens = {role: one.token for role, one in found.items() if isinstance(one, SignedIn)}

    def ask(self, door: str, role: str, **headers: str) -> Any:
        """A door with something in its places, asked by somebody of a role."""
        method, path = door.split(" ")
        self.client.cookies.clear()
        if role in self.tokens:
            headers["cookie"] = f"__Host-headstock={self.tokens[role]}"
        return self.client.request(method, re.sub(r"\{\w+\}", "x", path), headers=headers)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HEADSTOCK_DATA", str(tmp_path_factory.mktemp("data")))
        kept = open_accounts(None)
        for role in reversed(ROLES):
            kept.add(Account(role, f"{role[0].upper()}. Rook", role), PASSWORD, "test")
        with TestClient(make_app(Serving(host="0.0.0.0")), base_url="https://testserver", follow_redirects=False,
                        raise_server_exceptions=False) as client:  # fmt: skip
            yield House(client)


def is_shut(answer: Any) -> bool:
    """Whether it was refused for who asked."""
    to_the_door = answer.status_code == 303 and answer.headers["location"].startswith("/sign-in")
    return answer.status_code == 401 or to_the_door or (answer.status_code == 403 and "your role may not" in answer.text)


def test_every_way_in_is_in_the_table_under_the_act_that_opens_it() -> None:
    asked = [route for route in ROUTES if isinstance(route, APIRoute)]
    found = {f"{method} {route.path}": _act_of(route) for route in asked for method in route.methods}
    assert found == doors()
    assert [route.path for route in ROUTES if isinstance(route, APIWebSocketRoute)] == list(LIVE)
    assert len(asked) + len(LIVE) == len(ROUTES)


def _act_of(route: APIRoute) -> str:
    return next((str(one.dependency.act) for one in route.dependencies if hasattr(one.dependency, "act")), "opened by no act")


def test_nothing_is_added_to_the_application_but_its_routers(house: House) -> None:
    app: Any = house.client.app
    paths = [route.path for route in app.routes if getattr(route, "path", None)]
    assert sorted(paths) == sorted(BESIDE) and len(app.routes) == len(ROUTERS) + len(API) + len(BESIDE)


EACH = [pytest.param(role, marks=[pytest.mark.slow] if role == "instructor" else []) for role in (*ROLES, NOBODY)]
"""What is shut to each is asked by ``tests/unit/web/test_signing_in.py`` too; the role in the middle waits for the slow tests."""


@pytest.mark.parametrize("role", EACH)
def test_each_door_is_open_to_those_of_the_table_and_shut_to_all_others(house: House, role: str) -> None:
    for door, act in doors().items():
        may = door in OPEN if role == NOBODY else role in ACTS[act]  # type: ignore[comparison-overlap]
        if (door, role) != ("POST /sign-out", role) or role == NOBODY:
            assert is_shut(house.ask(door, role, **HOME)) != may, (door, act)
    assert is_shut(house.ask("GET /api/openapi.json", role)) == (role == NOBODY)


def test_every_act_that_the_pages_name_is_one_of_the_table() -> None:
    """One that is not there ends in a fault of the inside when somebody who is signed in asks for it."""
    code = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "src" / "headstock" / "web").rglob("*.py"))
    from headstock.web.api.records import ACT_OF_NOTE

    named = set(re.findall(r'(?:needs\(|sees\(request, |may\(visitor, )"([^"]+)"', code)) | set(ACT_OF_NOTE.values())
    assert len(named) > 15 and named <= set(ACTS)


@pytest.mark.parametrize("kind", ["job", "defect", "isolation", "sheet", "correction"])
@pytest.mark.parametrize("role", ROLES)
def test_a_note_of_each_kind_is_for_those_who_may(house: House, role: str, kind: str) -> None:
    from headstock.web.api.records import ACT_OF_NOTE

    note = {"kind": kind, "text": "stiff", "who": "K. Ray", "when": "2026-01-02 03:04:05"}
    headers = {**HOME, "cookie": f"__Host-headstock={house.tokens[role]}"}
    answer = house.client.post("/api/v1/records/note", json=note, headers=headers)
    assert is_shut(answer) == (role not in ACTS[ACT_OF_NOTE[kind]]) and answer.status_code < 500


def test_no_form_of_another_site_does_anything(house: House) -> None:
    for door in SENDING:
        for headers in (ELSEWHERE, {"origin": "null"}, {"origin": "http://["}, {"sec-fetch-site": "cross-site"}, {}):
            answer = house.ask(door, "administrator", **headers)
            refused = (403,) if headers else (403, 422 if door == "POST /sign-in" else 403)
            assert answer.status_code in refused, (door, headers)


def test_a_session_that_somebody_else_began_is_not_the_one_signed_in_to(house: House) -> None:
    """Fixation: a token put into the browser beforehand is nobody's afterwards either."""
    for planted in ("invented", house.tokens["crew"]):
        house.client.cookies.clear()
        headers = {**HOME, "cookie": f"__Host-headstock={planted}"}
        sent = house.client.post("/sign-in", data={"name": "supervisor", "password": PASSWORD}, headers=headers)
        assert sent.status_code == 303 and planted not in sent.headers["set-cookie"]
        house.client.cookies.clear()
        assert house.client.get("/", headers={"cookie": f"__Host-headstock={planted}"}).status_code == 303
    house.tokens["crew"] = house.client.app.state.accounts.sign_in("crew", PASSWORD, "there").token  # type: ignore[attr-defined]


@pytest.mark.parametrize("headers", [ELSEWHERE, {"origin": "null"}, {"origin": "http://["}, {"host": "["}])
def test_a_live_connection_from_another_site_is_refused_though_the_browser_is_signed_in(
    house: House, headers: dict[str, str]
) -> None:
    house.client.cookies.clear()
    sent = {"cookie": f"__Host-headstock={house.tokens['crew']}", **HOME, **headers}
    with pytest.raises(WebSocketDisconnect) as closed, house.client.websocket_connect("/sittings/ABCDE/live", headers=sent):
        pass
    assert closed.value.code == 4403


WAYS = ("../application.py", "..%2fapplication.py", "%2e%2e/application.py", "..%5capplication.py", "/etc/passwd",
        "%2fetc%2fpasswd", "css/../../application.py", "%00", "css%00/house.css")  # fmt: skip
NAMES = ("../../x.yaml", "/etc/passwd", "..", "x\0y", "<script>alert(1)</script>.yaml", "=1+1.csv", "x" * 5000)


@pytest.mark.parametrize("way", WAYS)
def test_no_file_is_had_from_beside_the_static_ones(house: House, way: str) -> None:
    answer = house.client.get(f"/static/{way}")
    assert answer.status_code in (303, 404) and "make_app" not in answer.text and "root:" not in answer.text


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_a_file_that_is_sent_leads_nowhere(house: House, name: str, tmp_path: Path) -> None:
    headers = {**HOME, "cookie": f"__Host-headstock={house.tokens['supervisor']}"}
    before = sorted(path.name for path in tmp_path.parent.iterdir())
    for path in ("/jobs/file", "/people/sign-offs"):
        answer = house.client.post(path, files={"file": (name, b"headstock: job 1\n")}, headers=headers)
        assert answer.status_code in (400, 422) and "<script>alert" not in answer.text
    assert sorted(path.name for path in tmp_path.parent.iterdir()) == before


def test_a_body_in_pieces_is_not_read_whatever_length_is_said_besides(house: House) -> None:
    for headers in ({"content-length": "5", "transfer-encoding": "chunked"}, {"transfer-encoding": "chunked"},
                    {"content-length": "9" * 5000}, {"content-length": "-1"}, {"content-length": "²"}):  # fmt: skip
        sent = {name: value.encode() for name, value in {**HOME, **headers}.items()}
        assert house.client.post("/sign-in", content=b"name=crew", headers=sent).status_code == 413, headers


def test_what_is_sent_packed_is_not_unpacked(house: House) -> None:
    """Nor is any archive read anywhere in the source: there is nothing that a small file could swell to."""
    packed = gzip.compress(b'{"first": "tarn/1", "second": "tarn/2"}' + b" " * 10_000_000)
    headers = {
        **HOME,
        "cookie": f"__Host-headstock={house.tokens['crew']}",
        "content-encoding": "gzip",
        "content-type": "application/json",
    }
    assert house.client.post("/api/v1/join", content=packed, headers=headers).status_code in (400, 422)
    code = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py"))
    assert re.findall(r"(?:tarfile|zlib|bz2|lzma|gzip)\.\w+|unpack_archive|extractall|ZipFile\((?![^)]*\"w\")", code) == []


def test_half_a_sign_in_what_is_sent_is_refused_in_words(house: House) -> None:
    headers = {**HOME, "cookie": f"__Host-headstock={house.tokens['crew']}", "content-type": "application/json"}
    for path, content in (
        ("/api/v1/records/note", rb'{"kind":"defect","text":"\ud800","who":"K. Ray"}'),
        ("/api/v1/plan", rb'{"\ud800":1}'),
    ):
        answer = house.client.post(path, content=content, headers=headers)
        assert answer.status_code == 422 and answer.json()["error"]["faults"]


def test_a_name_that_no_record_can_hold_is_refused_and_leaves_its_trace(house: House) -> None:
    answer = house.client.post("/sittings/%00/end", headers={**HOME, "cookie": f"__Host-headstock={house.tokens['instructor']}"})
    assert answer.status_code == 400 and "nobody foresaw" not in answer.text
    (found, *_) = open_records(None).search(Search(("account:instructor",), kind="audit"))
    assert found.draft.body["on"] == "/sittings/%00/end"


def test_an_address_that_is_none_is_refused_in_words(house: House) -> None:
    for host in ("[", "[::1", "]["):
        answer = house.client.get("/alive", headers={"host": host})
        assert answer.status_code == 403 and "another name" in answer.text


def test_what_a_refused_note_would_have_said_is_not_on_record(house: House) -> None:
    before = len(tuple(one for one in open_records(None).every() if one.draft.kind == "correction"))
    headers = {**HOME, "cookie": f"__Host-headstock={house.tokens['crew']}"}
    note = {"kind": "correction", "text": "written wrongly", "who": "K. Ray", "when": "2026-01-02 03:04:05"}
    assert house.client.post("/api/v1/records/note", json=note, headers=headers).status_code == 403
    assert len(tuple(one for one in open_records(None).every() if one.draft.kind == "correction")) == before
