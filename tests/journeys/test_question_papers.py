"""A question paper from choosing it to putting it on record, with scripts and without."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.journeys.browser import axe_faults, each_look

Visit = Callable[..., Any]


def _is_fit(page: Any, what: str) -> None:
    assert axe_faults(page) == [], what
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), what


def _taken(page: Any) -> None:
    """A paper of five questions, in hand."""
    page.select_option("#job", "screw-attach")
    page.fill("#count", "5")
    page.fill("#seed", "11")
    page.get_by_role("button", name="Take it").click()
    page.wait_for_url("**/papers/screw-attach-5-11")
    page.fill("#person", "J. Tolk")
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/papers/sat/*")


@each_look
def test_every_page_of_a_paper_can_be_used(visit: Visit, size: dict[str, int], theme: str) -> None:
    page = visit("/papers", size, theme)
    _is_fit(page, "papers")
    page.goto("/papers/screw-attach-5-11")
    _is_fit(page, "cover")
    page.goto("/papers")
    _taken(page)
    _is_fit(page, "in hand")
    page.get_by_role("button", name="Hand in", exact=True).click()
    page.get_by_role("alert").wait_for()
    _is_fit(page, "asked")
    page.get_by_role("button", name="Hand in all the same").click()
    page.get_by_text("0 of 5 right").wait_for()
    _is_fit(page, "marked")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_paper_is_sat_left_come_back_to_handed_in_and_put_on_record(visit: Visit, scripts: bool) -> None:
    page = visit("/exercises", scripts=scripts)
    page.get_by_role("link", name="Question papers").click()
    _taken(page)
    assert page.get_by_role("group").count() == 5 and "It is " not in page.content()
    page.locator("#q1 input").nth(2).check()
    page.get_by_role("button", name="Keep, go on later").click()
    page.get_by_text("1 of 5 answered").wait_for()
    address = page.url
    page.goto("/papers")
    page.goto(address)
    assert page.locator("#q1 input").nth(2).is_checked()
    for number in range(2, 6):
        page.locator(f"#q{number} input").first.check()
    page.get_by_role("button", name="Hand in", exact=True).click()
    page.get_by_text(re.compile("of 5 right")).wait_for()
    assert page.locator(".marked li").count() == 5 and page.locator(".marked li", has_text="It is ").count() == 5
    page.fill("#marked_by", "K. Ray")
    page.get_by_role("button", name="Put it on record").click()
    page.wait_for_url("**/records/*")
    assert "watched by nobody" in page.inner_text("main")
    page.goto("/papers")
    page.get_by_role("cell", name="J. Tolk").first.wait_for()
