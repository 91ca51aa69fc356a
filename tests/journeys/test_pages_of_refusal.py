"""The pages that say not now and too long, in a browser: what is wrong, the cure, and what was entered still there."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from headstock.web.guards import MOST_BYTES
from tests.journeys.browser import axe_faults, each_look

Visit = Callable[..., Any]
SHOTS = os.environ.get("HEADSTOCK_SHOTS", "")


@pytest.fixture
def broken(data_folder: Path, address: str) -> Iterator[str]:
    """Records whose table is gone, until it is brought back."""
    del address
    base = sqlite3.connect(data_folder / "records.db")
    base.execute("ALTER TABLE entry RENAME TO entry_aside")
    base.commit()
    yield str(data_folder)
    base.execute("ALTER TABLE entry_aside RENAME TO entry")
    base.commit()
    base.close()


def _is_good(page: Any, name: str) -> None:
    assert axe_faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "nothing lies beside the screen"
    if SHOTS:
        size = page.viewport_size["width"]
        page.screenshot(path=f"{SHOTS}/{name}-{size}-{page.locator('html').get_attribute('class')}.png", full_page=True)


@each_look
def test_not_now_says_what_helps_and_asks_again(visit: Visit, broken: str, size: dict[str, int], theme: str) -> None:
    page = visit("/records?words=stiff", size, theme)
    main = page.inner_text("main")
    assert page.get_by_role("heading", level=1).inner_text() == "Not now"
    assert "cannot be used" in main.lower() and "Whatever was acknowledged before is on record" in main
    assert broken not in page.content() and "no such table" not in page.content()
    _is_good(page, "not-now")
    again = page.get_by_role("link", name="Try again")
    assert again.get_attribute("href") == "/records?words=stiff"
    visit.said.clear()  # type: ignore[attr-defined]


@each_look
def test_what_was_entered_is_sent_again_when_the_records_are_back(
    visit: Visit, data_folder: Path, address: str, size: dict[str, int], theme: str
) -> None:
    page = visit("/people/sign-off", size, theme)
    base = sqlite3.connect(data_folder / "records.db")
    person = f"J. Tolk {size['width']}"
    for name, text in (("person", person), ("place", "Harrow Ings"), ("since", "2026-01-01"), ("until", "2099-01-01"),
                       ("assessor", "K. Ray"), ("watched", "one joining, \"by the book\" & back")):  # fmt: skip
        page.fill(f'[name="{name}"]', text)
    for name in ("role", "first", "second"):
        field = page.locator(f'[name="{name}"]')
        if field.evaluate("one => one.tagName") == "SELECT":
            field.select_option(index=1)
    base.execute("ALTER TABLE entry RENAME TO entry_aside")
    base.commit()
    try:
        page.locator("main form button").last.click()
        page.get_by_role("heading", name="Not now").wait_for()
        _is_good(page, "not-now-form")
    finally:
        base.execute("ALTER TABLE entry_aside RENAME TO entry")
        base.commit()
        base.close()
    page.get_by_role("button", name="Send it again").click()
    page.wait_for_url("**/people/person?*")
    assert person in page.inner_text("main")
    visit.said.clear()  # type: ignore[attr-defined]


@each_look
def test_too_long_says_the_limit_and_what_to_do_instead(visit: Visit, size: dict[str, int], theme: str) -> None:
    page = visit("/people/sign-offs", size, theme)
    content = b"person\n" + b"x" * MOST_BYTES
    page.set_input_files('input[type="file"]', {"name": "list.csv", "mimeType": "text/csv", "buffer": content})
    page.locator("main form button").last.click()
    page.get_by_role("heading", name="Too long").wait_for()
    main = page.inner_text("main")
    assert "at most 2 MB" in main and "Nothing of it was read or kept." in main and "Send a long list in parts" in main
    _is_good(page, "too-long")
    visit.said.clear()  # type: ignore[attr-defined]
