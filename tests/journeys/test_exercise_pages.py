"""An exercise from setting it to talking it through: four browsers in one sitting, one goes away, the server is killed."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.journeys.browser import DESK, PHONE, SMALL_PHONE, axe_faults, killed_and_served_again, wait_for

Visit = Callable[..., Any]
TABLET = {"width": 1024, "height": 820}
LOOKS = [(DESK, "night"), (PHONE, "night"), (TABLET, "paper")]


def _set(page: Any, name: str) -> str:
    """Set a ready exercise; gives its code."""
    page.goto("/exercises")
    page.locator(".spoils > summary").click()
    page.get_by_role("button", name=re.compile(f"{name}$")).click()
    page.wait_for_url("**/trainer")
    return str(page.url).split("/")[-2]


def _take(page: Any, code: str, role: str, person: str) -> None:
    page.goto(f"/sittings/{code}")
    page.fill(f"#person-{role}", person)
    page.get_by_role("button", name=re.compile(f"Take this role.*{role}")).click()
    page.wait_for_url(f"**/role/{role}")


@pytest.mark.parametrize(("size", "theme"), LOOKS, ids=["desk", "phone", "tablet"])
def test_everybody_can_use_every_page_of_a_sitting(visit: Visit, size: dict[str, int], theme: str) -> None:
    page = visit("/exercises", size, theme)
    assert axe_faults(page) == []
    code = _set(page, "attach-plain")
    for path in ("trainer", "", "role/shunter", "watch", "talk-through"):
        page.goto(f"/sittings/{code}/{path}")
        assert axe_faults(page) == [], path
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
        assert "Exercise, not a real train" in page.inner_text("main"), path


def test_four_browsers_sit_one_exercise_and_the_server_is_killed_under_them(
    visit: Visit, browser: Any, tmp_path: Path
) -> None:  # fmt: skip
    with killed_and_served_again(tmp_path) as server:
        pages = {name: browser.new_context(viewport=TABLET, base_url=server.address).new_page()
                 for name in ("trainer", "driver", "shunter", "guard")}  # fmt: skip
        trainer = pages["trainer"]
        code = _set(trainer, "attach-by-heart")
        for role in ("driver", "shunter", "guard"):
            _take(pages[role], code, role, f"{role[0].upper()}. Rook")
        trainer.fill("#rate", "5")
        trainer.get_by_role("button", name="Let the clock go").click()
        shunter = pages["shunter"]
        shunter.get_by_role("button", name="Agree the job: who does what, all repeat").click()
        shunter.get_by_text("agree the job: who does what, all repeat", exact=True).wait_for()
        driver = pages["driver"]
        driver.get_by_role("button", name=re.compile("^Put on the parking brake of 217")).click()
        driver.locator("#part .hand", has_text="put on the parking brake of 217").wait_for()
        wait_for(lambda: int(driver.inner_text("#clock")[-2:]) > 2)
        pages["guard"].close()

        trainer.get_by_role("button", name="Hold the clock").click()
        trainer.get_by_role("button", name="Let the clock go").wait_for()
        stood = trainer.inner_text("#clock")
        server.kill()
        server.start()

        trainer.reload()
        assert _seconds(trainer.inner_text("#clock")) == pytest.approx(_seconds(stood), abs=1)
        assert trainer.locator("text=D. Rook").count() == 1
        guard = browser.new_context(viewport=TABLET, base_url=server.address).new_page()
        guard.goto(f"/sittings/{code}/role/guard")
        guard.get_by_role("heading", level=1).wait_for()
        trainer.goto(f"/sittings/{code}/talk-through")
        words = trainer.inner_text("main")
        assert words.count("put on the parking brake of 217, cab 217/2") == 1
        assert words.count("agree the job: who does what, all repeat") >= 1


def _seconds(clock: str) -> int:
    hours, minutes, seconds = (int(part) for part in clock.split(":"))
    return hours * 3600 + minutes * 60 + seconds


def test_on_a_phone_the_gauge_and_what_is_done_with_it_come_first(visit: Visit) -> None:
    page = visit("/exercises", SMALL_PHONE)
    code = _set(page, "attach-plain")
    _take(page, code, "driver", "M. Iden")
    gauge, acts = page.locator("figure.gauge").bounding_box(), page.locator("#do").bounding_box()
    assert gauge["y"] > 0 and gauge["y"] + gauge["height"] < acts["y"] < SMALL_PHONE["height"] / 2 + 60, (
        "half a screen is left to enter"
    )
    assert not page.get_by_role("navigation").is_visible() and page.get_by_role("link", name="Headstock").is_visible()


def test_what_could_not_be_sent_is_said_where_it_was_given(visit: Visit) -> None:
    page = visit("/exercises", PHONE)
    code = _set(page, "attach-plain")
    _take(page, code, "shunter", "J. Tolk")
    page.route("**/role/shunter", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
    agree = page.get_by_role("button", name="Agree the job: who does what, all repeat")
    agree.click()
    page.get_by_role("alert").get_by_text("Not sent").wait_for()
    assert axe_faults(page) == [] and "No connection since" in page.inner_text("body")
    page.unroute("**/role/shunter")
    agree.click()
    page.get_by_role("alert").wait_for(state="detached")
    assert "agree the job" in page.inner_text(".hand")
    visit.said.clear()  # type: ignore[attr-defined]


def test_it_can_be_sat_without_any_script(visit: Visit) -> None:
    page = visit("/exercises", DESK, "night", scripts=False)
    code = _set(page, "attach-plain")
    _take(page, code, "shunter", "J. Tolk")
    page.get_by_role("button", name="Agree the job: who does what, all repeat").click()
    assert "agree the job" in page.inner_text(".hand")


def test_a_code_that_is_not_there_says_so(visit: Visit) -> None:
    page = visit("/sittings/join?code=ZZZZZ")
    assert "No such sitting" in page.inner_text("main")
    visit.said.clear()  # type: ignore[attr-defined]
