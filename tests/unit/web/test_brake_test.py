"""Pages of the brake test, asked without a browser: forms, what waited on a phone, filing, put away."""

from __future__ import annotations

import re
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.records.store import StoredRecords
from headstock.usecases.records_port import Search
from headstock.web.test_answers import Outcome
from tests.cases.tests_in_hand import book_demo, put_test

LARGEST_BYTES, LONGEST_S = 300_000, 0.2


@pytest.fixture
def code(client: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    from headstock.web import test_answers

    monkeypatch.setattr(test_answers, "expected_of", lambda *_: test_answers.Outcome({"rear charged": (4.8, 5.2)}))
    monkeypatch.setattr(test_answers, "steps_of", lambda *_: ())
    return book_demo(tmp_path)


def events_on_record(data: Path) -> list[dict[str, Any]]:
    records = StoredRecords(folder=data)
    found = [dict(entry.draft.body) for entry in records.search(Search(kind="event", top=1000))]
    records.close()
    return found


def begun(client: TestClient, code: str) -> str:
    test = f"test-{code}-1"
    form = {"key": f"begun:{test}", "test": test, "what": "begun", "who": "M. Iden"}
    assert client.post(f"/jobs/{code}/test", data=form, follow_redirects=False).status_code == 303
    return test


def test_a_test_is_begun_once_however_many_begin_it(client: TestClient, code: str, tmp_path: Path, prepared: list[str]) -> None:
    assert "Begin the test" in client.get(f"/jobs/{code}/test").text
    begun(client, code)
    begun(client, code)
    assert len(events_on_record(tmp_path)) == 1
    assert prepared == [code], "what a failed reading is held against is begun with the test, and once"
    assert "stage 1 of 9" in client.get(f"/jobs/{code}/test").text


def test_a_wrong_figure_is_said_as_everywhere_and_stays_on_the_page(client: TestClient, code: str, tmp_path: Path) -> None:
    test = put_test(tmp_path, code, 1)
    form = {
        "key": "form-00000001",
        "test": test,
        "what": "reading",
        "stage": "rear charged",
        "shows": "4,9",
        "unit": "bar",
        "who": "P",
    }
    sent = client.post(f"/jobs/{code}/test", data=form)
    assert sent.status_code == 400 and 'value="4,9"' in sent.text and "Nothing of it was kept" in sent.text
    assert len(events_on_record(tmp_path)) == 2


def test_what_waited_is_kept_once_and_what_is_wrong_is_said_by_its_key(client: TestClient, code: str, tmp_path: Path) -> None:
    test = put_test(tmp_path, code, 1)
    at = {"test": test, "at": "2026-01-20 10:05:10", "who": "P. Oad", "phone": "phone-a"}
    good = {**at, "key": "phone-a:1", "number": 1, "what": "reading", "stage": "rear charged", "shows": "4.9", "unit": "bar"}
    other = {**good, "key": "phone-a:3", "number": 3, "shows": "4.8"}
    bad = {**at, "key": "phone-a:2", "number": 2, "what": "reading"}
    said = client.post(f"/jobs/{code}/test/events", json={"events": [good, bad, other]}).json()
    assert said["kept"] == ["phone-a:1", "phone-a:3"] and list(said["refused"]) == ["phone-a:2"]
    again = client.post(f"/jobs/{code}/test/events", json={"events": [good, {**good, "shows": "1"}]}).json()
    assert again["kept"] == ["phone-a:1"] and list(again["refused"]) == ["phone-a:1"]
    assert [one["shows"] for one in events_on_record(tmp_path) if one["what"] == "reading"] == ["4.8", "4.9"]
    assert "Two readings: rear charged" in client.get(f"/jobs/{code}/test").text


@pytest.mark.parametrize("sent", [{}, {"events": "x"}, {"events": [1]}, [], {"events": [{}]}])
def test_what_is_no_list_of_events_has_the_one_error_shape_or_is_refused(client: TestClient, code: str, sent: object) -> None:
    answer = client.post(f"/jobs/{code}/test/events", json=sent, headers={"accept": "application/json"})
    assert (answer.status_code == 422 and "error" in answer.json()) or answer.json()["refused"]


def test_a_good_test_is_filed_once_with_its_certificate(client: TestClient, code: str, tmp_path: Path) -> None:
    put_test(tmp_path, code)
    for _ in range(2):
        assert client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"}, follow_redirects=False).status_code == 303
    records = StoredRecords(folder=tmp_path)
    (filed,) = records.search(Search(kind="test"))
    assert filed.draft.body["verdict"] == "within limits"
    page = client.get(f"/jobs/{code}/test").text
    assert filed.code in page and "does not say that the train may go" in page
    (certificate,) = re.findall(r'href="(\S+/certificate)"', page)
    assert client.get(certificate).content.startswith(b"%PDF")


def test_touched_since_after_filing_strikes_the_verdict(client: TestClient, code: str, tmp_path: Path) -> None:
    test = put_test(tmp_path, code)
    client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"})
    form = {"test": test, "what": "touched", "who": "J. Tolk", "key": "form-00000002", "device": "217/2.brake_pipe_cock"}
    page = client.post(f"/jobs/{code}/test", data=form).text
    assert "<s>Readings within limits</s>" in page and "brake pipe cock of 217/2 touched by J. Tolk" in page
    again = {"test": test, "what": "asked", "asked_at": "departure", "touched": "yes", "who": "P. Oad", "key": "form-00000003"}
    assert "touched since, says P. Oad at departure" in client.post(f"/jobs/{code}/test", data=again).text


def test_a_conflict_is_not_filed_and_every_reason_is_said(client: TestClient, code: str, tmp_path: Path) -> None:
    other = {"seconds": 371, "what": "reading", "stage": "rear applied", "shows": "3.8", "unit": "bar", "phone": "b"}
    put_test(tmp_path, code, more=[other, {"seconds": 800, "what": "between", "who": "J. Tolk"}])
    refused = client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"})
    assert refused.status_code == 409
    assert "somebody has to say which one holds" in refused.text and "J. Tolk is recorded as between" in refused.text
    assert StoredRecords(folder=tmp_path).search(Search(kind="test")) == ()


def test_what_cannot_have_been_so_is_said_once_and_leads_to_a_new_test(client: TestClient, code: str, tmp_path: Path) -> None:
    too_soon = {"seconds": 5, "what": "done", "who": "M. Iden", "stage": "charged"}
    read = {"seconds": 35, "what": "reading", "stage": "rear charged", "shows": "4.9", "unit": "bar"}
    put_test(tmp_path, code, 0, [too_soon, read, {"seconds": 36, "what": "done", "stage": "rear charged"}])
    page = client.get(f"/jobs/{code}/test").text
    assert page.count("This cannot have been so") == 1 and 'href="#anew">Begin anew' in page and 'id="anew"' in page
    earlier = page.partition('class="earlier"')[2].partition("</summary>")[0]
    assert "4.9 bar" in earlier and "not judged" in earlier and "not read" not in earlier
    refused = client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"})
    assert refused.status_code == 409 and "does not mean reservoirs charged" in refused.text
    assert not re.search(r"line \d+:", refused.text), "of a file that nobody at a page has seen"


def test_after_a_reading_outside_its_limit_the_next_stage_is_not_the_way_on(
    client: TestClient, code: str, tmp_path: Path
) -> None:
    read = {"seconds": 370, "what": "reading", "stage": "rear applied", "unit": "bar"}
    for shows, ways in (("3.4", 1), ("4.8", 0)):
        put_test(tmp_path, code, 4, [{**read, "shows": shows}])
        stage = client.get(f"/jobs/{code}/test").text.partition('data-stage="rear applied"')[2].partition("</section>")[0]
        assert len(re.findall(r'<button class="go">[^<]*<br>stage 5', stage)) == ways, shows
        assert ("Held: read on in" in stage) == (not ways)


def test_readings_that_come_after_filing_are_said_and_filed_as_a_correction(
    client: TestClient, code: str, tmp_path: Path
) -> None:
    test = put_test(tmp_path, code)
    client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"})
    old = next(one for one in events_on_record(tmp_path) if one.get("stage") == "no rise" and one["what"] == "reading")
    late = {"key": "phone-b:7", "test": test, "what": "reading", "at": old["at"], "who": "M. Iden", "phone": "phone-b",
            "number": 7, "stage": "no rise", "shows": "3.5", "unit": "bar", "replaces": [old["key"]]}  # fmt: skip
    client.post(f"/jobs/{code}/test/events", json={"events": [late]})
    assert "Phones have sent more since it was filed" in client.get(f"/jobs/{code}/test").text
    client.post(f"/jobs/{code}/test/file", data={"who": "M. Iden"})
    assert "Phones have sent more" not in client.get(f"/jobs/{code}/test").text
    assert len(StoredRecords(folder=tmp_path).search(Search(kind="test"))) == 2


def test_while_somebody_is_between_nothing_can_be_entered_and_every_phone_learns_it(
    client: TestClient, code: str, tmp_path: Path
) -> None:
    assert client.get(f"/jobs/{code}/away", follow_redirects=False).status_code == 303
    put_test(tmp_path, code, 3, [{"seconds": 330, "what": "between", "place": "217/2 and 226/1", "protection": "1"}])
    page = client.get(f"/jobs/{code}/test").text
    assert "Put it away. Stand clear." in page and "rail is cut" in page and 'name="shows"' not in page
    assert client.get(f"/jobs/{code}/test/state").json()["between"] == 1
    away = client.get(f"/jobs/{code}/away").text
    assert "Number 1 is between" in away and away.count("<button") == 1 and "<nav" not in away


def test_look_next_holds_first_and_ranks_anew(
    client: TestClient, code: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from headstock.web.routes import look_next

    put_test(tmp_path, code, 4, [{"seconds": 370, "what": "reading", "stage": "rear applied", "shows": "4.8", "unit": "bar"}])
    monkeypatch.setattr(look_next, "search_of", lambda *_: None)
    waiting = client.get(f"/jobs/{code}/test/look").text
    assert "Hold the train first" in waiting and "being worked out" in waiting
    form = {"key": "look-000001", "test": f"test-{code}-1", "who": "P. Oad", "place": "217/2",
            "cause": ["brake pipe cock of 217/2 shut", "brake pipe leaks at 2171"], "found": ""}  # fmt: skip
    for _ in range(2):
        client.post(f"/jobs/{code}/test/look", data=form)
    looks = [one for one in events_on_record(tmp_path) if one["what"] == "look"]
    assert len(looks) == 2 and not any(one["is_there"] for one in looks)


def test_the_walk_is_drawn_and_its_first_place_can_be_answered(
    client: TestClient, code: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from headstock.brake_test.causes import Cause
    from headstock.brake_test.find import FindResult
    from headstock.brake_test.look_places import LookPlace
    from headstock.brake_test.look_walk import LookWalk
    from headstock.web.routes import look_next

    shut, off = Cause("cock shut", "217/2.brake_pipe_cock"), Cause("brake isolated", "2171")
    places = (LookPlace("end", "217/2", 81.0, 0.05, frozenset({shut})), LookPlace("vehicle", "2171", 10.0, 0.1, frozenset({off})))
    result = FindResult((), True, (), LookWalk(places, 3.2, ()))
    rules, drawn = SimpleNamespace(pressure_unit="bar"), SimpleNamespace(name="demonstration", edition="1", invented=True)
    search = SimpleNamespace(test=SimpleNamespace(tested=SimpleNamespace(rules=rules), drawn=drawn))
    monkeypatch.setattr(look_next, "search_of", lambda *_: Outcome(search))
    monkeypatch.setattr(look_next, "_answered", lambda *_: result)
    put_test(tmp_path, code, 4)
    page = client.get(f"/jobs/{code}/test/look").text
    assert "about 3 min" in page and "Hold the train first" in page and "No brake is bled" in page
    assert page.index("Cocks and hoses of 217/2") < page.index("Brake gear of 2171")
    assert page.count('name="found"') == 2, "the first place alone is answered: there, or nothing of these"


def test_the_page_says_what_is_next_where_only_a_blocked_pipe_is_left(
    client: TestClient, code: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from headstock.brake_test.find import FindResult
    from headstock.usecases.unseen_words import NOTHING_SEEN, next_when_unseen
    from headstock.web.routes import look_next
    from tests.unit.usecases.test_unseen_words import FIRST, left, search_of

    search = search_of()
    search.test.drawn = SimpleNamespace(name="demonstration", edition="1", invented=True)
    monkeypatch.setattr(look_next, "search_of", lambda *_: Outcome(search))
    monkeypatch.setattr(look_next, "_answered", lambda *_: FindResult((), True, (), left(FIRST)))
    put_test(tmp_path, code, 4)
    page = client.get(f"/jobs/{code}/test/look").text
    assert page.index("Hold the train first") < page.index(NOTHING_SEEN)
    steps = next_when_unseen(search, left(FIRST))
    assert len(steps) == 4 and all(f"<li>{step}</li>" in page for step in steps)


def test_pages_are_small_and_quick(client: TestClient, code: str, tmp_path: Path) -> None:
    put_test(tmp_path, code, 6)
    client.get(f"/jobs/{code}/test")
    took = []
    for _ in range(5):
        began = time.perf_counter()
        text = client.get(f"/jobs/{code}/test").text
        took.append(time.perf_counter() - began)
    assert len(text.encode()) < LARGEST_BYTES
    assert min(took) < LONGEST_S, took


def test_a_wrong_code_and_a_missing_test_are_answered(client: TestClient, code: str) -> None:
    for path in ("test", "away", "test/state", "test/look"):
        assert client.get(f"/jobs/AAAA-AAAA-AAAA/{path}").status_code == 400
    for path in ("away", "test/look"):
        assert client.get(f"/jobs/{code}/{path}", follow_redirects=False).status_code == 303


def test_the_worker_lists_what_there_is(client: TestClient) -> None:
    from headstock.web.routes.offline import SHELL

    answer = client.get("/service-worker.js")
    assert answer.headers["content-type"].startswith("text/javascript") and "SHELL_" not in answer.text
    for name in SHELL:
        assert f'"/static/{name}"' in answer.text
        assert client.get(f"/static/{name}").status_code == 200
