"""Fleet and records pages without a browser: what they say, statuses, refusals, versions in force."""

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from headstock.equipment.library import load_fleet
from tests.cases.tests_in_hand import book_demo, put_test
from tests.unit.web.api.asked_both_ways import job_text, readings_text

BECK = load_fleet().texts["beck"]
CHANGED = BECK.replace('issue: "1"', 'issue: "2"').replace("mass_t: 39.0", "mass_t: 41.0", 1)
PAGES = ("/fleet", "/fleet/table", "/fleet/compare", "/fleet/beck", "/fleet/beck/edit", "/fleet/beck/fields",
         "/fleet/beck/versions", "/records", "/records/audit", "/records/verify")  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_every_page_stands_on_empty_records_and_is_small(path: str, client: TestClient) -> None:
    answer = client.get(path)
    assert answer.status_code == 200 and len(answer.content) < 300_000
    assert " style=" not in answer.text and "<script>" not in answer.text


@pytest.mark.parametrize(
    ("path", "status"),
    [("/fleet/bekc", 404), ("/fleet/bekc/edit", 404), ("/fleet/bekc/versions", 404),
     ("/fleet/beck/difference?before=a&after=b", 404), ("/fleet/compare?first=x", 404), ("/fleet/table?radius=ten", 400),
     ("/fleet/table?rules=..%2Fx", 400), ("/fleet/table?radius=3", 400),
     ("/fleet/table?first=beck&second=x", 404), ("/records/nothing", 404), ("/records/nothing/certificate", 404),
     ("/records?from_day=never", 400), ("/records/export/exe", 422)],
)  # fmt: skip
def test_what_is_not_there_or_not_meant_says_so(path: str, status: int, client: TestClient) -> None:
    assert client.get(path).status_code == status


def test_nearest_type_is_named(client: TestClient) -> None:
    assert "nearest beck" in client.get("/fleet/bekc").text


def test_the_table_on_the_page_says_what_the_api_says(client: TestClient) -> None:
    text = client.get("/fleet/table?rules=wending-vale&radius=150&bend=one curve").text
    pairs = client.post("/api/v1/table", json={"curve_radius": 150, "curve": "one curve"}).json()["pairs"]
    asked = [pair for pair in pairs if pair["first"].endswith("/1") and pair["second"].endswith("/1")]
    assert len(asked) > 30
    for pair in asked:
        names = (pair["first"], pair["second"])
        first, second = (name if f"{name} with" in text else name[:-2] for name in names)
        answer = "cannot be joined" if pair["answer"] == "no" else f"{pair['answer']}, "
        assert f"{first} with {second}: {answer}" in text, (first, second)


def test_faults_are_shown_with_line_and_wrong_word(client: TestClient) -> None:
    said = client.post("/fleet/beck/edit/faults", data={"text": BECK.replace("has_cab: true", "has_cab: maybe", 1)}).text
    assert 'class="wrong">maybe<' in said and "Line " in said
    assert "No fault found" in client.post("/fleet/beck/edit/faults", data={"text": BECK}).text


def test_a_saved_version_is_in_force_at_once_and_what_differs_is_told(client: TestClient) -> None:
    before = client.get("/api/v1/fleet/beck").json()["vehicles"][0]["mass_t"]
    sent = client.post("/fleet/beck/edit", data={"text": CHANGED, "who": "A. Nyme", "why": "weighed"}, follow_redirects=False)
    assert sent.status_code == 303 and before == 39.0
    assert client.get("/api/v1/fleet/beck").json()["vehicles"][0]["mass_t"] == 41.0
    code = client.get("/api/v1/records/search?kind=unit type").json()[0]["code"]
    told = client.get(f"/fleet/beck/difference?before=file&after={code}").text
    assert "<del>39.0</del>" in told and "<ins>41.0</ins>" in told and "taken out" in told and "No job on the book" in told
    assert "saved on record" in client.get("/fleet/beck").text


def test_versions_are_in_force_after_a_new_start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, client: TestClient) -> None:
    from headstock.usecases.serving import Serving
    from headstock.web.application import make_app

    client.post("/fleet/beck/edit", data={"text": CHANGED, "who": "A. Nyme", "why": "weighed"})
    with TestClient(make_app(Serving())) as again:
        assert again.get("/api/v1/fleet/beck").json()["issue"] == "2"


def test_a_name_that_is_not_there_yet_makes_a_new_type(client: TestClient) -> None:
    text = BECK.replace("type: beck", "type: rill", 1)
    sent = client.post("/fleet/beck/edit", data={"text": text, "who": "A. Nyme", "why": "new"}, follow_redirects=False)
    assert sent.headers["location"] == "/fleet/rill?saved=1" and client.get("/fleet/rill").status_code == 200
    assert client.get("/fleet/beck/file").text == BECK and "rill" in client.get("/fleet/table").text


@pytest.mark.parametrize("form", ["csv", "jsonl", "parquet"])
def test_all_records_can_be_taken_away(form: str, client: TestClient) -> None:
    client.post("/api/v1/records/note", json={"kind": "defect", "text": "cock stiff", "who": "K. Ray"})
    answer = client.get(f"/records/export/{form}")
    assert answer.status_code == 200 and b"cock stiff" in answer.content


def test_a_refused_change_keeps_what_was_written(client: TestClient) -> None:
    sent = client.post("/fleet/beck/edit", data={"text": BECK + "nonsense: 1\n", "who": "A. Nyme", "why": "because"})
    assert (
        sent.status_code == 400
        and "nonsense: 1" in sent.text
        and "Nothing was saved" in sent.text
        and 'value="because"' in sent.text
    )


def test_the_form_sets_single_figures(client: TestClient) -> None:
    given = {"issue": "5", "vehicles[0].mass_t": "42.5", "who": "A. Nyme", "why": "weighed"}
    assert client.post("/fleet/beck/fields", data=given, follow_redirects=False).status_code == 303
    assert client.get("/fleet/beck/file").text == BECK.replace('issue: "1"', 'issue: "5"').replace(
        "mass_t: 39.0", "mass_t: 42.5", 1
    )
    wrong = client.post("/fleet/beck/fields", data={**given, "issue": "6", "vehicles[0].mass_t": "much"})
    assert wrong.status_code == 400 and 'value="much"' in wrong.text


def filed(client: TestClient) -> str:
    body = {"readings": readings_text("demo-attach"), "job": job_text("demo-attach"), "date": "2026-11-20"}
    return str(client.post("/api/v1/records/file", json=body).json()["code"])


def test_a_test_is_shown_with_everything_touched_since(client: TestClient) -> None:
    code = filed(client)
    assert "Readings within limits" in client.get(f"/records/{code}").text
    touch = {"device": "217/2.brake_pipe_cock", "who": "J. Tolk", "when": "2026-11-21 00:04:00"}
    assert client.post("/api/v1/records/touch", json=touch).json()["voids"] == [code]
    text = client.get(f"/records/{code}").text
    assert "<s>Readings within limits</s>" in text and "touched by J. Tolk" in text and "does not say that a train may go" in text
    audit = client.get("/records/audit?words=217").text
    assert "J. Tolk. It makes the test void" in audit and code in audit
    assert client.get(f"/records/{code}/certificate").content.startswith(b"%PDF")
    assert client.get("/records/export/csv").text.count("\n") == 4


def test_the_same_key_adds_nothing_and_another_content_is_refused(client: TestClient) -> None:
    note = {"kind": "defect", "text": "cock stiff", "who": "K. Ray", "when": "2026-01-02 10:00:00"}
    first = client.post("/api/v1/records/note", json=note, headers={"Idempotency-Key": "mine-1"}).json()
    again = client.post("/api/v1/records/note", json=note, headers={"Idempotency-Key": "mine-1"}).json()
    assert first["is_new"] and not again["is_new"] and first["code"] == again["code"]
    other = client.post("/api/v1/records/note", json={**note, "text": "x"}, headers={"Idempotency-Key": "mine-1"})
    assert other.status_code == 409 and other.json()["error"]["code"] == "bad-input"


def test_what_cannot_have_been_is_refused_with_every_reason(client: TestClient) -> None:
    answer = client.post("/api/v1/records/file", json={"readings": readings_text("demo-attach"), "job": job_text("demo-attach")})
    assert answer.status_code == 422 and "carry no date" in answer.json()["refused"][0]


def test_a_job_is_meant_by_its_code_too(client: TestClient) -> None:
    from headstock.usecases.job_book import job_draft

    answers = client.app.state.answers  # type: ignore[attr-defined]
    (entry,) = answers.records.append([job_draft(job_text("demo-attach"), answers.folder, "A. Nyme")[0]])
    by_code = client.post("/api/v1/due", json={"code": entry.code}).json()
    assert by_code == client.post("/api/v1/due", json={"job": job_text("demo-attach")}).json()
    assert client.post("/api/v1/plan", json={"code": "nothing"}).status_code == 404
    assert client.post("/api/v1/plan", json={}).status_code == 400


def test_nothing_outside_what_was_sent_is_read(client: TestClient, tmp_path: Path) -> None:
    secret = tmp_path / "secret.yaml"
    secret.write_text("word: hidden\n", encoding="utf-8")
    job = job_text("demo-attach").replace("place: ", f"place: {secret} #")
    answer = client.post("/api/v1/plan", json={"job": job})
    assert answer.status_code == 400 and "leads outside what was sent" in answer.text and "hidden" not in answer.text
    table = client.post("/api/v1/table", json={"local_rules": str(secret)})
    assert table.status_code == 400 and "hidden" not in table.text


def test_the_list_says_what_an_event_of_a_test_was_and_of_which_part(client: TestClient, tmp_path: Path) -> None:
    code = book_demo(tmp_path)
    put_test(tmp_path, code, 2, [{"seconds": 312, "what": "touched", "device": "217/2.brake_pipe_cock"}])
    text = client.get("/records?kind=event").text
    assert "rear charged: read 4.9 bar" in text and "brake test begun" in text
    assert "brake pipe cock of 217/2 touched" in text and "217/2.brake_pipe_cock" not in text


def test_records_that_are_empty_say_so_otherwise_than_a_search_that_finds_nothing(client: TestClient) -> None:
    assert "Nothing is on record yet." in client.get("/records").text
    assert "Nothing on record is like this." in client.get("/records?words=nothing-of-it").text
