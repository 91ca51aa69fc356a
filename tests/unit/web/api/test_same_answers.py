"""Command line and API give the same answers and the same errors."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.unit.web.api.asked_both_ways import ALL_JOBS, JOBS, by_api, by_command, job_text, readings_text

Capture = pytest.CaptureFixture[str]
WRITTEN = {"cards", "sheet"}
"""Where the command wrote its sheets."""


QUICK = [pytest.param(name, marks=[] if name == "demo-attach" else pytest.mark.slow) for name in ALL_JOBS]
"""The demo job always, the others where slow tests run."""


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to write files into, in which the command runs."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def without(answer: Any, keys: set[str]) -> Any:
    return {key: value for key, value in answer.items() if key not in keys}


@pytest.mark.parametrize("name", ALL_JOBS)
def test_every_catalogue_job_is_planned_alike(name: str, here: Path, client: TestClient, capsys: Capture) -> None:
    (here / "job.yaml").write_text(job_text(name), encoding="utf-8")
    said = by_command(["plan", "job.yaml"], capsys)
    assert without(said, WRITTEN) == without(by_api(client, "plan", {"job": job_text(name)}), WRITTEN)


@pytest.mark.parametrize("name", ALL_JOBS)
def test_every_catalogue_job_gives_the_same_tests_due_and_the_same_joint(
    name: str, here: Path, client: TestClient, capsys: Capture
) -> None:
    (here / "job.yaml").write_text(job_text(name), encoding="utf-8")
    body = {"job": job_text(name)}
    assert by_command(["due", "--job", "job.yaml"], capsys) == by_api(client, "due", body)
    assert by_command(["couple", "--job", "job.yaml"], capsys) == by_api(client, "couple", body)
    read = by_command(["read", "job.yaml"], capsys)
    assert read[0]["faults"] == []


@pytest.mark.parametrize("name", QUICK)
def test_every_catalogue_job_can_the_same(name: str, here: Path, client: TestClient, capsys: Capture) -> None:
    (here / "job.yaml").write_text(job_text(name), encoding="utf-8")
    said = by_command(["can", "job.yaml", "--platform", "120"], capsys)
    assert said == by_api(client, "can", {"job": job_text(name), "platform": 120})


@pytest.mark.parametrize("name", QUICK)
def test_every_catalogue_job_has_the_same_mistakes_and_forecast(
    name: str, here: Path, client: TestClient, capsys: Capture
) -> None:
    (here / "job.yaml").write_text(job_text(name), encoding="utf-8")
    body = {"job": job_text(name)}
    assert by_command(["mistakes", "job.yaml"], capsys) == by_api(client, "mistakes", body)
    said = by_command(["forecast", "job.yaml", "--members", "40"], capsys)
    assert said == by_api(client, "forecast", body | {"members": 40})


def test_a_job_broken_off_stands_alike(here: Path, client: TestClient, capsys: Capture) -> None:
    (here / "job.yaml").write_text(job_text("demo-attach"), encoding="utf-8")
    said = by_command(["plan", "job.yaml", "--stop-after", "12"], capsys)
    asked = {"job": job_text("demo-attach"), "stop_after": 12}
    assert without(said, WRITTEN) == without(by_api(client, "plan", asked), WRITTEN)


def test_an_instruction_is_checked_alike(here: Path, client: TestClient, capsys: Capture) -> None:
    (here / "job.yaml").write_text(job_text("demo-attach"), encoding="utf-8")
    text = "1. Shunter: place the not to be moved board\n2. Driver: move up to the standing unit\n"
    (here / "instruction.txt").write_text(text, encoding="utf-8")
    said = by_command(["check", "instruction.txt", "--job", "job.yaml"], capsys)
    assert said == by_api(client, "check", {"job": job_text("demo-attach"), "instruction": text})


@pytest.mark.slow
def test_a_cause_is_looked_for_alike(here: Path, client: TestClient, capsys: Capture) -> None:
    text = readings_text("demo-attach")
    (here / "job.yaml").write_text(job_text("demo-attach"), encoding="utf-8")
    (here / "readings.yaml").write_text(text, encoding="utf-8")
    said = by_command(["find", "readings.yaml", "--from", "front"], capsys)
    client.app.state.long_work.patience_s = 600.0  # type: ignore[attr-defined]
    assert said == by_api(client, "find", {"job": job_text("demo-attach"), "readings": text, "start": "front"})


def test_a_paper_that_is_sent_along_is_read(client: TestClient) -> None:
    place = (JOBS.parent.parent / "formation" / "places" / "quarry-neck-1.yaml").read_text(encoding="utf-8")
    built_in = job_text("demo-attach")
    name = next(line.partition(": ")[2] for line in built_in.splitlines() if line.startswith("place: "))
    job = built_in.replace(f"place: {name}", "place: own place.yaml")
    body = {"job": job, "files": {"own place.yaml": place}, "speed": 20}
    assert by_api(client, "can", body)["place"] in place
    missing = by_api(client, "can", {"job": job})["error"]
    assert missing["faults"][0]["file"] == "job.yaml" and missing["faults"][0]["line"] is not None


def test_readings_are_judged_alike(here: Path, client: TestClient, capsys: Capture) -> None:
    text = readings_text("demo-attach")
    (here / "job.yaml").write_text(job_text("demo-attach"), encoding="utf-8")
    (here / "readings.yaml").write_text(text, encoding="utf-8")
    body = {"job": job_text("demo-attach"), "readings": text}
    assert by_command(["judge", "readings.yaml"], capsys) == by_api(client, "judge", body)


def test_the_fleet_its_table_and_pairs_are_alike(client: TestClient, capsys: Capture) -> None:
    assert by_command(["fleet", "list"], capsys) == by_api(client, "fleet")
    assert by_command(["fleet", "show", "beck"], capsys) == by_api(client, "fleet/beck")
    assert by_command(["table", "--type", "beck", "--type", "tarn"], capsys) == by_api(
        client, "table", {"types": ["beck", "tarn"]}
    )
    said = by_command(["join", "beck/1", "tarn/2", "--curve-radius", "200"], capsys)
    assert said == by_api(client, "join", {"first": "beck/1", "second": "tarn/2", "curve_radius": 200})
    assert by_command(["methods", "list"], capsys) == by_api(client, "methods")
    first = by_api(client, "methods")[0]["method"]
    assert by_command(["methods", "show", first], capsys) == by_api(client, f"methods/{first}")


def test_what_is_on_record_is_answered_alike(client: TestClient, capsys: Capture) -> None:
    sent = {"kind": "defect", "text": "cock stiff", "who": "K. Ray", "when": "2026-01-02 10:00:00", "units": ["217"]}
    by_api(client, "records/note", sent)
    assert by_command(["records", "search", "217"], capsys) == by_api(client, "records/search?words=217")
    code = by_api(client, "records/search?words=217")[0]["code"]
    assert by_command(["records", "show", code], capsys) == by_api(client, f"records/entries/{code}")
    assert by_command(["records", "verify"], capsys) == by_api(client, "records/verify")


@pytest.mark.parametrize(
    ("words", "question", "body"),
    [
        (["plan", "job.yaml"], "plan", {"job": "headstock: job 1\ntitle: x\n"}),
        (["plan", "job.yaml"], "plan", {"job": "a: [1"}),
        (["join", "beck/1", "tran/1"], "join", {"first": "beck/1", "second": "tran/1"}),
        (["join", "beck/3", "tarn/1"], "join", {"first": "beck/3", "second": "tarn/1"}),
        (["due", "nothing such"], "due", {"events": ["nothing such"]}),
        (["couple", "glue"], "couple", {"family": "glue"}),
        (["table", "--type", "beck", "--type", "beck"], "table", {"types": ["beck", "beck"]}),
        (["can", "job.yaml", "--speed", "-3"], "can", {"job": "x", "speed": -3}),
        (["records", "search", "--from", "yesterday"], "records/search?from=yesterday", None),
    ],
)
def test_errors_are_the_same_words(
    words: list[str], question: str, body: dict[str, Any] | None, here: Path, client: TestClient, capsys: Capture
) -> None:
    if body is not None and "job" in body:
        (here / "job.yaml").write_text(body["job"], encoding="utf-8")
    by_line, by_web = by_command(words, capsys)["error"], by_api(client, question, body)["error"]
    assert _unmarked(by_line) == _unmarked(by_web)


def _unmarked(error: dict[str, Any]) -> dict[str, Any]:
    """The command names its options, the API its fields."""
    return {**error, "message": error["message"].replace("--", ""),
            "faults": [{**one, "path": one["path"].removeprefix("--")} for one in error["faults"]]}  # fmt: skip
