"""Every page's frame: themes, keys, errors, what it refuses, in a browser."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.journeys.browser import axe_faults, each_look

Visit = Callable[..., Any]


@each_look
@pytest.mark.parametrize("path", ["/", "/keys"])
def test_everybody_can_use_the_frame(visit: Visit, path: str, size: dict[str, int], theme: str) -> None:
    page = visit(path, size, theme)
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing lies beside the screen"


def test_the_theme_is_chosen_by_hand_and_kept(visit: Visit) -> None:
    page = visit("/keys")
    with page.expect_navigation():
        page.get_by_role("button", name="Light page").click()
    assert page.url.endswith("/keys")
    page.reload()
    assert page.locator("html").get_attribute("class") == "paper"


def test_keys_bring_to_pages(visit: Visit) -> None:
    page = visit("/")
    page.keyboard.press("?")
    page.wait_for_url("**/keys")
    page.keyboard.press("1")
    page.get_by_role("heading", name="This turn").wait_for()


def test_a_page_that_is_not_there_says_so(visit: Visit) -> None:
    page = visit("/nothing")
    assert "No page of that name" in page.inner_text("main")
    assert axe_faults(page) == []
    visit.said.clear()  # type: ignore[attr-defined]


@pytest.mark.parametrize(("path", "heading"), [
    ("/jobs/new", "This turn"), ("/papers", "Exercise"), ("/sittings/join?code=ZZZZ", "Exercise"), ("/records/verify", "Records"),
    ("/fleet/table", "Fleet"), ("/keys", ""), ("/jobsnothing", ""),
])  # fmt: skip
def test_every_page_stands_under_one_heading_and_an_error_leads_back_to_it(visit: Visit, path: str, heading: str) -> None:
    page = visit(path)
    marked = page.locator("nav a[aria-current]")
    assert marked.all_inner_texts() == ([heading] if heading else [])
    if "ZZZZ" in path:
        assert page.get_by_role("heading", level=1).inner_text() == "Nothing here"
        assert "Ask the trainer for its code." in page.inner_text("main")
        assert page.get_by_role("link", name="Back to Exercise").get_attribute("href") == "/exercises"
    visit.said.clear()  # type: ignore[attr-defined]
