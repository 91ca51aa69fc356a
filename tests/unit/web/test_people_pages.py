"""Pages of people without a browser: who sees whom, signing off, files, a job's people, a sitting put on record."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from headstock.usecases.job_book import job_draft
from headstock.usecases.roles import Role, may
from headstock.web.visitor import Visitor
from tests.unit.web.api.asked_both_ways import job_text

TODAY = date.today()
FORM = {"person": "J. Tolk", "role": "shunter", "first": "tarn", "second": "", "place": "Harrow Ings", "since": "2026-01-10",
        "until": str(TODAY + timedelta(days=20)), "assessor": "M. Iden",
        "watched": "217 and 226, Harrow Ings", "about": ""}  # fmt: skip
PAGES = ("/people", "/people/class?of=M.+Iden", "/people/sign-off", "/people/sign-offs", "/people/sign-offs.csv",
         "/people/last-days.ics")  # fmt: skip


def _sign(client: TestClient, **more: str) -> str:
    answer = client.post("/people/sign-off", data={**FORM, **more}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def _as(client: TestClient, name: str, role: Role) -> TestClient:
    """The same application, asked by somebody who is signed in."""
    app: Any = client.app
    app.state.may = lambda visitor, act: may(visitor.role, act)

    async def signed_in(scope: Any, receive: Any, send: Any) -> None:
        scope["state"] = {**scope.get("state", {}), "visitor": Visitor(name, role)}
        await app(scope, receive, send)

    return TestClient(signed_in, raise_server_exceptions=False)


@pytest.mark.parametrize("path", PAGES)
def test_every_page_stands_on_empty_records_and_is_small(path: str, client: TestClient) -> None:
    answer = client.get(path)
    assert answer.status_code == 200 and len(answer.content) < 300_000
    assert " style=" not in answer.text and "<script>" not in answer.text


@pytest.mark.parametrize(
    ("path", "status"),
    [("/people/person?name=Nobody", 404), ("/people/person", 404), ("/people?day=soon", 400), ("/jobs/nothing/people", 400),
     ("/people/person/everything.json", 400), ("/sittings/XXXXX/statements.json", 400)],
)  # fmt: skip
def test_what_is_not_there_says_so(path: str, status: int, client: TestClient) -> None:
    assert client.get(path).status_code == status


def test_a_sign_off_goes_on_record_and_says_when_it_lapses(client: TestClient) -> None:
    assert _sign(client).startswith("/people/person?name=J.+Tolk&saved=")
    text = client.get("/people").text
    assert "Lapses within 30 days" in text and "20 days left" in text and "A drill is not a sign-off" in text
    assert "nearest J. Tolk" in client.get("/people/person?name=J.+Tolp").text
    person = client.get("/people/person?name=j. tolk").text
    assert "217 and 226, Harrow Ings" in person and "lapses soon" in person
    assert b"UID:" in client.get("/people/last-days.ics").content
    assert client.get("/people/person/last-days.ics?name=J. Tolk").headers["content-type"].startswith("text/calendar")


def test_what_cannot_be_signed_is_said_beside_its_field_and_nothing_typed_is_lost(client: TestClient) -> None:
    wrong = {**FORM, "assessor": "j. tolk", "first": "", "until": "2025-01-01", "about": "ABCD", "watched": "in a drill <b>"}
    answer = client.post("/people/sign-off", data=wrong)
    assert answer.status_code == 400 and "3 things have to be put right" in answer.text
    for words in ("nobody signs themselves off", "for which units?", "end before it begins", "in a drill &lt;b&gt;"):
        assert words in answer.text
    assert "no such entry" in client.post("/people/sign-off", data={**FORM, "about": "ABCD"}).text
    assert "Nobody is on record yet" in client.get("/people").text


def test_csv_comes_in_whole_or_not_at_all(client: TestClient) -> None:
    _sign(client)
    out = client.get("/people/sign-offs.csv").content
    again = client.post("/people/sign-offs", files={"file": ("mine.csv", out, "text/csv")})
    assert again.status_code == 200 and "0 put on record" in again.text and "1 was on record already" in again.text
    bad = client.post(
        "/people/sign-offs", files={"file": ("mine.csv", out + b"K. Ray,,tarn,x,never,,M. Iden,217,,,\r\n", "text/csv")}
    )
    assert bad.status_code == 400 and "mine.csv:3" in bad.text and "day not understood" in bad.text
    assert client.post("/people/sign-offs").status_code == 400


def test_a_job_says_who_is_signed_off_for_it_and_why_others_are_not(client: TestClient) -> None:
    _sign(client)
    _sign(client, person="K. Ray", place="Wending")
    answers = client.app.state.answers  # type: ignore[attr-defined]
    (job,) = answers.records.append([job_draft(job_text("demo-attach"), answers.folder, "S. Ware")[0]])
    text = client.get(f"/jobs/{job.code}/people").text
    assert f"On the job: J. Tolk, signed off until {FORM['until']}, which is soon" in text
    assert "On the job: P. Oad, not signed off for this" in text and "at Wending, not at Harrow Ings, road 3" in text
    later = client.get(f"/jobs/{job.code}/people?day={TODAY + timedelta(days=21)}").text
    assert "On the job: J. Tolk, not signed off for this" in later and "was its last day" in later
    assert client.get(f"/jobs/{job.code}/people?day=never").status_code == 400


def test_people_see_their_own_instructors_their_class_leaders_everybody(client: TestClient) -> None:
    _sign(client)
    _sign(client, person="K. Ray", assessor="R. Fell")
    sees: dict[tuple[str, Role], tuple[int, int]] = {
        ("J. Tolk", "crew"): (200, 403), ("K. Ray", "crew"): (403, 200), ("M. Iden", "instructor"): (200, 403),
        ("R. Fell", "instructor"): (403, 200), ("S. Ware", "supervisor"): (200, 200)}  # fmt: skip
    for (name, role), expected in sees.items():
        asking = _as(client, name, role)
        for file in ("", "/last-days.ics", "/everything.json"):
            got = tuple(asking.get(f"/people/person{file}?name={one}").status_code for one in ("J. Tolk", "K. Ray"))
            assert got == expected, (name, file)
        assert asking.get("/people/last-days.ics").status_code == (200 if role == "supervisor" else 403)
    instructor = _as(client, "M. Iden", "instructor")
    mine = instructor.get("/people")
    assert mine.url.path == "/people/class" and "J. Tolk" in mine.text and "K. Ray" not in mine.text
    assert instructor.get("/people/class?of=R. Fell").status_code == 403
    signed = instructor.post("/people/sign-off", data={**FORM, "person": "P. Oad", "assessor": "somebody else"})
    assert signed.status_code == 200 and "somebody else" not in signed.text
    crew = _as(client, "J. Tolk", "crew")
    assert crew.get("/people").url.path == "/people/person" and crew.get("/people/sign-off").status_code == 403
    assert crew.post("/people/person/off", data={"name": "K. Ray", "who": "x", "why": "x"}).status_code == 403
    assert "Nothing is on record" in _as(client, "N. Ewer", "crew").get("/people/person?name=N. Ewer").text


def test_who_is_taken_off_is_on_no_list_and_everything_is_handed_over(client: TestClient) -> None:
    _sign(client)
    assert client.post("/people/person/off", data={"name": "J. Tolk", "who": "S. Ware", "why": ""}).status_code == 400
    page = client.post("/people/person/off", data={"name": "J. Tolk", "who": "S. Ware", "why": "left the depot"})
    assert "Taken off the lists" in page.text and "Nobody is on record yet" in client.get("/people").text
    assert b"J. Tolk" not in client.get("/people/sign-offs.csv").content + client.get("/people/last-days.ics").content
    given = json.loads(client.get("/people/person/everything.json?name=J. Tolk").content)
    assert [one["kind"] for one in given["entries"]] == ["competence", "person"] and given["kept_elsewhere"]


def test_a_sitting_is_put_on_record_once_when_it_is_over(client: TestClient) -> None:
    code = str(client.post("/exercises/attach-plain/set").url).split("/")[-2]
    client.post(f"/sittings/{code}/take", data={"role": "shunter", "person": "J. Tolk"})
    assert "the sitting goes on" in client.post(f"/sittings/{code}/record", data={"led_by": "M. Iden"}).text
    assert client.get(f"/sittings/{code}/statements.json").status_code == 400
    over = client.post(f"/sittings/{code}/end").text
    assert "Put it on record" in over and "A drill is not a sign-off" in over
    assert client.post(f"/sittings/{code}/record", data={"led_by": " "}).status_code == 400
    first = client.post(f"/sittings/{code}/record", data={"led_by": "M. Iden"})
    again = client.post(f"/sittings/{code}/record", data={"led_by": "somebody else"})
    assert first.url == again.url and "not as instructed, not finished" in first.text
    assert "On record as" in client.get(f"/sittings/{code}/talk-through").text
    (statement,) = client.get(f"/sittings/{code}/statements.json").json()
    assert statement["actor"]["account"]["name"] == "J. Tolk" and statement["result"]["completion"] is False
    assert "1 sitting" in client.get("/people/person?name=J. Tolk").text
    on_disk = next((client.app.state.sittings.log.folder).glob(f"{code}*"))  # type: ignore[attr-defined]
    assert "J. Tolk" in on_disk.read_text(encoding="utf-8")
    going_on = str(client.post("/exercises/attach-plain/set").url).split("/")[-2]
    client.post(f"/sittings/{going_on}/take", data={"role": "guard", "person": "J. Tolk"})
    client.post("/people/person/off", data={"name": "j. tolk", "who": "S. Ware", "why": "left the depot"})
    assert "J. Tolk" not in on_disk.read_text(encoding="utf-8")
    after = client.get(f"/sittings/{code}/talk-through").text
    assert "<b>somebody</b>" in after and "J. Tolk" not in after and "On record as" in after
    still = client.get(f"/sittings/{going_on}").text
    assert "J. Tolk" not in still and "somebody" in still, "a sitting that goes on keeps the role, not the name"
    alone = str(client.post("/exercises/attach-plain/set").url).split("/")[-2]
    client.post(f"/sittings/{alone}/end")
    assert "nobody sat the exercise" in client.post(f"/sittings/{alone}/record", data={"led_by": "M. Iden"}).text
