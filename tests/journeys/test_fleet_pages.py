"""The fleet in a browser: looking, comparing, what joins what, changing a type and seeing what differs."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.journeys.browser import FIRST_SIGHT_PX, HEIGHT, SHOWN, SMALL_PHONE, axe_faults, each_look

Visit = Callable[..., Any]
PAGES = ("/fleet", "/fleet/tarn", "/fleet/table?first=fell&second=tarn", "/fleet/compare?first=holm&second=wold",
         "/fleet/beck/edit", "/fleet/beck/fields", "/fleet/beck/versions")  # fmt: skip


@each_look
@pytest.mark.parametrize("path", PAGES)
def test_everybody_can_use_every_page(visit: Visit, path: str, size: dict[str, int], theme: str) -> None:
    page = visit(path, size, theme)
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


TYPE, PAIR = "/fleet/tarn", "/fleet/compare?first=tarn&second=gale"


@pytest.mark.parametrize("path", [TYPE, PAIR])
def test_on_a_phone_a_type_and_two_types_lead_with_the_answer_and_lose_nothing(visit: Visit, path: str) -> None:
    plain = visit(path, SMALL_PHONE, scripts=False)
    whole = plain.inner_text("main").split()
    assert plain.locator("table.facts tr").last.evaluate(SHOWN), "without scripts nothing is folded"
    page = visit(path, SMALL_PHONE)
    assert page.evaluate(HEIGHT) < FIRST_SIGHT_PX, "both were over 10,000"
    assert not page.locator("table.facts").first.is_visible()
    page.emulate_media(media="print")
    assert page.locator("table.facts tr").last.evaluate(SHOWN) and len(page.inner_text("main").split()) > 0.95 * len(whole)
    page.emulate_media(media="screen")
    page.evaluate("document.querySelectorAll('details.folded').forEach((one) => { one.open = true })")
    assert axe_faults(page) == [], "also unfolded"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_link_into_what_is_folded_unfolds_it(visit: Visit) -> None:
    page = visit(PAIR, SMALL_PHONE)
    page.locator(".differ a", has_text="electrical head").first.click()
    row = page.locator("tr:target")
    row.wait_for(state="visible")
    assert "electrical head" in row.inner_text() and "one has it" in row.inner_text()
    page = visit(f"{TYPE}#source-demo", SMALL_PHONE)
    page.locator("#source-demo").wait_for(state="visible")


def test_where_two_types_differ_is_said_first_and_a_type_differs_from_itself_in_nothing(visit: Visit) -> None:
    page = visit(PAIR)
    named = page.locator(".differ a")
    assert named.count() == page.locator("table.compared td", has_text=re.compile("^(differs|one has it)$")).count() > 20
    page.goto("/fleet/compare?first=tarn&second=tarn")
    assert page.locator(".differ a").count() == 0 and page.locator(".differ").inner_text().count("in nothing") == 4


def test_every_part_of_an_end_can_be_walked_by_keyboard_and_has_its_name(visit: Visit) -> None:
    page = visit("/fleet/tarn")
    parts = page.locator(".end .named").first.locator("g[role=img]")
    assert parts.count() > 8
    parts.first.focus()
    page.keyboard.press("Tab")
    named = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert named.startswith("2 ")


def test_a_square_leads_to_every_reason_and_lights_up(visit: Visit) -> None:
    page = visit("/fleet/table")
    page.get_by_role("link", name="fell with tarn").click()
    page.get_by_role("heading", name="fell with tarn").wait_for()
    assert page.locator("td.lamp").count() == 1 and page.locator(".note.lamp:visible").count() == 1
    assert "Restrictions" in page.inner_text("#pair")


def test_the_track_changes_the_answers(visit: Visit) -> None:
    page = visit("/fleet/table")
    page.get_by_label("Or radius [m]").fill("90")
    page.get_by_role("button", name="Show").click()
    assert "90 m" in page.inner_text("main")
    page.get_by_label("Or radius [m]").fill("three")
    page.get_by_role("button", name="Show").click()
    assert "Not a radius" in page.inner_text("[role=alert]")
    assert page.get_by_label("Or radius [m]").input_value() == "three"
    visit.said.clear()  # type: ignore[attr-defined]


def test_faults_show_while_one_writes(visit: Visit) -> None:
    page = visit("/fleet/moss/edit")
    text = page.get_by_label("The type's file (YAML)")
    text.fill(text.input_value().replace("has_cab: true", "has_cab: perhaps", 1))
    page.locator("#faults .wrong", has_text="perhaps").wait_for()
    assert "Line " in page.inner_text("#faults") and axe_faults(page) == []


def test_a_change_is_saved_with_who_and_why_and_what_differs_is_told(visit: Visit) -> None:
    page = visit("/fleet/gale/edit")
    text = page.get_by_label("The type's file (YAML)")
    changed = text.input_value().replace('issue: "3"', 'issue: "33"', 1)
    text.fill(changed)
    page.get_by_role("button", name="Save version").click()
    assert "nobody says who saves it" in page.inner_text("main") and text.input_value() == changed
    page.get_by_label("Who saves it").fill("A. Nyme")
    page.get_by_label("Why, and the paper that approves it").fill("drawing office note 7")
    page.get_by_role("button", name="Save version").click()
    page.wait_for_url("**/fleet/gale?saved=1")
    assert "Issue 33" in page.inner_text("main")
    page.get_by_role("link", name="Versions (2)").click()
    page.get_by_role("button", name="What differs").click()
    told = page.inner_text("main")
    assert "taken out" in told and 'issue: "33"' in told and "What rests on this type" in told
    assert axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]


def test_figures_are_changed_without_scripts_too(visit: Visit) -> None:
    page = visit("/fleet/crag/fields", scripts=False)
    page.get_by_label("Issue of this description").fill("55")
    page.get_by_label("Who saves it").fill("A. Nyme")
    page.get_by_label("Why, and the paper that approves it").fill("weighed")
    page.get_by_role("button", name="Save version").click()
    assert "Issue 55" in page.inner_text("main")


def test_a_type_that_is_not_there_says_so(visit: Visit) -> None:
    page = visit("/fleet/trn")
    assert "nearest tarn" in page.inner_text("main") and axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]
