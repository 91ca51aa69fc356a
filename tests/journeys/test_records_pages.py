"""Records in a browser: a test filed and touched, found again, audited, verified, printed."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx2
import pytest

from tests.journeys.browser import axe_faults, each_look

Visit = Callable[..., Any]
USECASES = Path(__file__).parent.parent.parent / "src" / "headstock" / "usecases"


@pytest.fixture(scope="module")
def code(address: str) -> Iterator[str]:
    """A test on record that a touch made void."""
    readings = (USECASES / "readings" / "demo-attach.yaml").read_text(encoding="utf-8")
    body = {"readings": readings.replace("job: demo-attach", "job: job.yaml"), "date": "2026-11-20",
            "job": (USECASES / "jobs" / "demo-attach.yaml").read_text(encoding="utf-8")}  # fmt: skip
    with httpx2.Client(base_url=f"{address}/api/v1/records", timeout=60) as client:
        filed = client.post("/file", json=body).json()
        touch = {"device": "217/2.brake_pipe_cock", "who": "J. Tolk", "when": "2026-11-21 00:04:00"}
        assert client.post("/touch", json=touch).json()["voids"] == [filed["code"]]
        client.post("/note", json={"kind": "defect", "text": "cock stiff", "who": "K. Ray", "when": "2026-11-21 08:00:00"})
    yield filed["code"]


@each_look
def test_everybody_can_use_every_page(visit: Visit, code: str, size: dict[str, int], theme: str) -> None:
    page = visit("/keys", size, theme)
    for path in ("/records", "/records?words=nothing-like-it", "/records/audit", "/records/verify", f"/records/{code}"):
        page.goto(path)
        assert axe_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path


def test_a_test_is_found_and_says_who_touched_it_since(visit: Visit, code: str) -> None:
    page = visit("/records")
    page.get_by_label("Units, people, places").fill("217")
    page.get_by_role("button", name="Search").click()
    assert "touched since by J. Tolk" in page.inner_text("main")
    page.get_by_role("link", name=code).click()
    assert "Void" in page.inner_text(".answer.void") and page.locator(".answer.void s").count() == 1
    with page.expect_response(f"**/{code}/certificate") as answered:
        page.evaluate(f"fetch('/records/{code}/certificate')")
    assert answered.value.headers["content-type"] == "application/pdf"


def test_the_auditor_s_list_prints_without_forms(visit: Visit, code: str) -> None:
    page = visit("/records/audit")
    assert "It makes the test void" in page.inner_text("main")
    page.emulate_media(media="print")
    assert not page.locator("form.choose").is_visible() and not page.locator("nav").is_visible()
    assert page.get_by_text(code).first.is_visible()


def test_the_records_are_verified_and_the_answer_comes_by_itself(visit: Visit, code: str) -> None:
    page = visit("/records/verify")
    page.get_by_role("button", name="Look now").click()
    page.get_by_text("Nothing was altered").wait_for()
    assert "4 entries" in page.inner_text(".answer") or "5 entries" in page.inner_text(".answer")


def test_a_day_that_is_none_keeps_what_was_written(visit: Visit, code: str) -> None:
    page = visit("/records?words=217&from_day=soon")
    assert "Day not understood" in page.inner_text("main") and page.get_by_label("Units, people, places").input_value() == "217"
    visit.said.clear()  # type: ignore[attr-defined]


def test_a_code_that_is_not_there_says_so(visit: Visit, code: str) -> None:
    page = visit("/records/AAAA-AAAA-AAAA")
    assert "No such entry" in page.inner_text("main") and axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]
