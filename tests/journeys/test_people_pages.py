"""People in a browser: signed off, found lapsing, asked for by a job, sent as a file; a sitting put on record and printed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from headstock.usecases.job_file import JOBS_FOLDER
from tests.journeys.browser import DESK, PHONE, axe_faults, each_look

Visit = Callable[..., Any]
SOON = str(date.today() + timedelta(days=20))


def _fill(page: Any, **fields: str) -> None:
    for label, words in fields.items():
        page.fill(f"#{label}", words)
    page.select_option("#role", "shunter")
    page.select_option("#first", "tarn")


def _book(page: Any) -> str:
    """A job on the book; gives its address."""
    page.goto("/jobs/file")
    page.fill("#text", (JOBS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8"))
    page.get_by_role("button", name="Put it on the book").click()
    page.wait_for_url("**/jobs/*-*-*")
    return str(page.url)


def test_somebody_is_signed_off_by_keyboard_and_found_in_every_list(visit: Visit) -> None:
    page = visit("/people", PHONE)
    page.get_by_role("link", name="Sign somebody off").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/sign-off")
    _fill(page, person="J. Tolk", place="Harrow Ings", since="2026-01-10", until=SOON, watched="217 and 226", assessor="J. Tolk")
    page.get_by_role("button", name="Put it on record").click()
    assert "nobody signs themselves off" in page.inner_text("main") and page.input_value("#watched") == "217 and 226"
    assert axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]
    page.fill("#assessor", "M. Iden")
    page.locator("#assessor").press("Enter")
    page.wait_for_url("**/person?*")
    assert "lapses soon" in page.inner_text("main")
    page.goto("/people")
    assert "Lapses within 30 days" in page.inner_text("main")
    page.set_viewport_size(DESK)
    job = _book(page)
    page.get_by_role("link", name="Who may do this").click()
    page.wait_for_url("**/people")
    assert f"On the job: J. Tolk, signed off until {SOON}, which is soon" in page.inner_text("main")
    page.fill("#day", str(date.today() + timedelta(days=30)))
    page.get_by_role("button", name="Show").click()
    page.wait_for_url("**day=*")
    assert "was its last day" in page.inner_text(".answer.no >> nth=1")
    assert job in page.url


@each_look
def test_everybody_can_use_every_page(visit: Visit, size: dict[str, int], theme: str) -> None:
    job = _book(visit("/"))
    paths = ("/people", "/people?day=soon", "/people/person?name=J.+Tolk", "/people/class?of=M.+Iden", "/people/class?of=R.+Fell",
             "/people/sign-off", "/people/sign-offs", "/people/person?name=Nobody", f"{job}/people")  # fmt: skip
    page = visit("/people", size, theme)
    for path in paths:
        page.goto(path)
        assert axe_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
    visit.said.clear()  # type: ignore[attr-defined]


def test_pages_say_the_same_without_scripts(visit: Visit) -> None:
    page = visit("/people", PHONE, "paper", scripts=False)
    assert "J. Tolk" in page.inner_text("main") and "A drill is not a sign-off" in page.inner_text("main")


def test_a_file_goes_out_and_comes_in_and_a_bad_one_names_its_lines(visit: Visit, tmp_path: Path) -> None:
    page = visit("/people")
    with page.expect_download() as got:
        page.get_by_role("link", name="Sign-offs as CSV").click()
    mine = tmp_path / "mine.csv"
    got.value.save_as(mine)
    page.get_by_role("link", name="Sign-offs from a CSV file").click()
    page.set_input_files("#file", mine)
    page.get_by_role("button", name="Put them on record").click()
    assert "0 put on record" in page.inner_text("main") and "1 was on record already" in page.inner_text("main")
    mine.write_text(mine.read_text(encoding="utf-8").replace("shunter", ""), encoding="utf-8")
    page.set_input_files("#file", mine)
    page.get_by_role("button", name="Put them on record").click()
    assert "mine.csv:2 role" in page.inner_text("[role=alert]") and axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]


@pytest.mark.parametrize(("size", "theme"), [(DESK, "paper"), (PHONE, "night")], ids=["desk", "phone"])
def test_a_sitting_that_is_over_is_put_on_record_and_prints_as_its_report(
    visit: Visit, size: dict[str, int], theme: str
) -> None:  # fmt: skip
    page = visit("/exercises", size, theme)
    page.locator(".spoils > summary").click()
    page.get_by_role("button", name="attach-plain").click()
    page.wait_for_url("**/trainer")
    code = page.url.split("/")[-2]
    page.goto(f"/sittings/{code}")
    page.fill("#person-shunter", "K. Ray")
    page.get_by_role("button", name="Take this role").nth(1).click()
    page.wait_for_url("**/role/*")
    page.evaluate(f"fetch('/sittings/{code}/end', {{method: 'POST'}})")
    page.goto(f"/sittings/{code}/talk-through")
    page.fill("#led_by", "M. Iden")
    assert axe_faults(page) == []
    assert not page.locator("details li").first.is_visible()
    page.emulate_media(media="print")
    assert not page.locator("#led_by").is_visible() and page.get_by_text("lines not done").is_visible()
    assert page.locator("details li").first.is_visible()
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Put it on record").click()
    page.wait_for_url("**/records/*")
    page.goto("/people/person?name=K.+Ray")
    assert f"sitting {code}" in page.inner_text("main")
    page.goto(f"/sittings/{code}/talk-through")
    assert "On record as" in page.inner_text("main") and axe_faults(page) == []
