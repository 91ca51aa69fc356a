"""A NUL in what is sent is refused at one doorway, with its place and its cure, and nothing that was typed is lost."""

from __future__ import annotations

import json
import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.usecases.records_port import Search
from headstock.web.sent_signs import sign_faults
from tests.hostile.doors import doors

EACH_BY_ITSELF = "POST /jobs/{code}/test/events"
NOTE = {"kind": "defect", "text": "stiff", "who": "K. Ray", "when": "2026-01-02 03:04:05", "units": ["217"], "about": None}
SENDING = sorted(door.removeprefix("POST ") for door in doors() if door.startswith("POST") and door != EACH_BY_ITSELF)
SENT = {"origin": "http://testserver"}


def _on_record(client: TestClient) -> int:
    app: Any = client.app
    return len(app.state.answers.records.search(Search(top=1000)))


@pytest.mark.parametrize(("field", "value", "path"), [
    ("text", "st\0iff", "text"), ("who", "K. Ray\0", "who"), ("units", ["217", "\0"], "units.1"), ("about", "a\0", "about"),
    ("kind", "\0", "kind"), ("when", "\0", "when"), ("more\0", "x", "more\\x00"),
])  # fmt: skip
def test_a_note_with_a_sign_that_is_none_is_bad_input_at_its_place(
    client: TestClient, field: str, value: object, path: str
) -> None:
    answer = client.post("/api/v1/records/note", json={**NOTE, field: value})
    said = answer.json()["error"]
    assert answer.status_code == 422 and said["code"] == "bad-input"
    assert "NUL" in said["message"] and f"@ {path}" in said["message"] and "Take that sign out" in said["cure"]
    assert _on_record(client) == 0
    assert client.post("/api/v1/records/note", json=NOTE).status_code == 200


@pytest.mark.parametrize("path", SENDING)
def test_no_way_in_takes_it(client: TestClient, path: str) -> None:
    place = re.sub(r"\{\w+\}", "x", path)
    ways: tuple[dict[str, Any], ...] = (
        {"data": {"name": "a\0b"}}, {"files": {"name": (None, "a\0b")}}, {"json": {"name": [{"deep": "a\0b"}]}},
        {"content": json.dumps({"name": "a\0b"}).encode("utf-16"), "headers": {"content-type": "application/json", **SENT}},
    )  # fmt: skip
    for how in ways:
        answer = client.post(place, **{"headers": SENT, **how})
        assert answer.status_code == 422 and "(NUL)" in answer.text, (how, answer.status_code, answer.text[:300])


def test_what_waited_on_a_phone_is_refused_event_by_event(client: TestClient) -> None:
    code = client.post("/jobs/ready", data={"name": "demo-attach"}, follow_redirects=False).headers["location"].split("/")[-1]
    begun = {"key": "phone:0000001", "test": f"test-{code}-1", "what": "begun", "who": "M. Iden", "at": "2026-01-02 03:04:05",
             "phone": "phone", "number": 1}  # fmt: skip
    bad = {**begun, "key": "phone:0000002", "who": "J. T\0olk"}
    said = client.post(f"/jobs/{code}/test/events", json={"events": [bad, begun]}).json()
    assert said["kept"] == ["phone:0000001"], "what is well is held up by nothing"
    assert "(NUL)" in said["refused"]["phone:0000002"] and "@ who" in said["refused"]["phone:0000002"]


def test_a_form_comes_back_to_be_sent_without_that_sign(client: TestClient) -> None:
    form = {"name": "J. Tolk", "who": "K. Ray", "why": 'left: <b>on\0 Monday</b>\nfor "good"'}
    refused = client.post("/people/person/off", data=form)
    assert refused.status_code == 422 and "in line 1" in refused.text and "<b>on" not in refused.text
    assert "Send it without that sign" in refused.text and 'action="/people/person/off"' in refused.text
    kept = {name: unescape(text) for name, text in re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', refused.text)}
    kept.pop("back", None)
    assert kept == {**form, "why": form["why"].replace("\0", "")}
    assert _on_record(client) == 0
    assert client.post("/people/person/off", data=kept, follow_redirects=False).status_code == 303
    assert _on_record(client) > 0


def test_a_password_is_shown_to_nobody(client: TestClient) -> None:
    for path, form in (("/sign-in", {"name": "iden", "password": "lantern\0geese"}),
                       ("/own-password", {"old": "lantern\0geese", "new": "lantern geese"})):  # fmt: skip
        answer = client.post(path, data=form)
        assert answer.status_code == 422 and "geese" not in answer.text and "Send it without" not in answer.text


def test_a_file_of_sign_offs_with_it_is_refused_by_its_line(client: TestClient) -> None:
    content = b"person,role,units,place,since,until,assessor,watched\nJ. To\0lk,shunter,a,b,c,d,e,f\n"
    answer = client.post("/people/sign-offs", files={"file": ("list.csv", content, "text/csv")})
    assert answer.status_code == 400 and "(NUL) @ list.csv:2" in unescape(answer.text)


def test_the_place_is_said_however_deep_and_as_deep_as_can_be() -> None:
    deep: Any = "\0"
    for _ in range(50_000):
        deep = [deep]
    (fault,) = sign_faults(deep)
    assert len(fault.path) < 100
    assert len(sign_faults({"all": ["\0"] * 100_000})) == 20, "the first of very many"
    found = sign_faults({"a": ["x", {"b": "one\ntwo\0"}], "c": "\0", "d": 1, "e": None})
    assert [(fault.path, fault.what[-9:]) for fault in found] == [("a.1.b", "in line 2"), ("c", "old (NUL)")]
